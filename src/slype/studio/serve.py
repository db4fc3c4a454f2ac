"""`slype studio`: starts the program, opens the page, stops cleanly."""

from __future__ import annotations

import asyncio
import contextlib
import os
import secrets
import socket
import sys
from typing import TYPE_CHECKING

from .. import files, system
from ..errors import DesignError, FileTrouble

if TYPE_CHECKING:
    from .running import Studio

PORT = 4747
EVERY_ADDRESS = "is every address at once, and none that a phone could ask for."
TRIED = 20  # ports after the usual one, where that is taken


def baskets_folder() -> str:
    """A folder for those who start the studio without naming one: Baskets, among this user's documents."""
    folder = os.path.join(system.documents_folder(), "Baskets")
    files.make_folder(folder)
    return folder


def run(folders: list[str], designs: list[str], host: str, port: int | None, browser: bool, say=print) -> None:
    """Serve until stopped. Raises FileTrouble where a folder, a file or the address cannot be had."""
    from . import already
    from .journal import Journal, Taken
    from .workers import Worker

    if host in ("0.0.0.0", "::", ""):
        raise DesignError(EVERY_ADDRESS, "--host", f"Name one: {own_address() or 'for example 192.168.1.20'}.")
    for folder in folders:
        if not os.path.isdir(folder):
            raise FileTrouble("there is no such folder.", folder, "Make it first, or name another.")
    state = os.path.join(system.state_folder(), "bench")
    try:
        journal = Journal(state)
    except Taken:
        there = already.running(state)
        if there is None:
            raise
        say("A studio is open already; it goes on in its page.")
        _show(already.open_there(there, folders, designs, say), browser, say)
        return
    listening = listen(host, port, PORT)
    quick = Worker("quick", begin="warm up")
    quick.start()  # it loads what it needs while the program does
    import uvicorn

    from .app import application
    from .bench import Bench
    from .guard import Guard
    from .reading import Reading
    from .running import Studio

    reading = Reading(quick)
    bench = Bench(folders, journal, reading.check)
    studio = Studio(bench, reading)
    first = asyncio.run(_opened(studio, designs))
    port = listening.getsockname()[1]
    secret = secrets.token_urlsafe(24)
    names = {host, *(("localhost", "127.0.0.1") if host in ("127.0.0.1", "localhost") else ())}
    named = {f"{bracketed(name)}{end}" for name in names for end in (f":{port}", *([""] if port == 80 else []))}
    app = Guard(application(studio), frozenset(named), secret)  # browsers leave out port 80
    address = f"http://{bracketed(host)}:{port}/#key={secret}" + (f"&basket={first[0]}" if first else "")
    already.note(state, address.split("&")[0])
    _show(address, browser, say)
    stop = system.how_to_stop()
    say(f"Designs in {', '.join(bench.folders)}. Keep this window open; {stop} in it closes the studio.")
    if host not in ("127.0.0.1", "localhost", "::1"):
        say(
            "Others on this network who know this address can read and change these designs. Nothing is encrypted: use "
            "it only on a network you trust."
        )
    sys.stdout.flush()
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        timeout_graceful_shutdown=1,
        ws="none",
        http="h11",
        proxy_headers=False,  # there is none in front of it, and a request may not say who it comes from
        server_header=False,
    )

    class Server(uvicorn.Server):
        def handle_exit(self, *signal) -> None:
            super().handle_exit(*signal)
            studio.close()

    with contextlib.suppress(KeyboardInterrupt):
        Server(config).run(sockets=[listening])
    already.forget(state)
    bench.journal.close()
    say("The studio is closed. Every basket is kept as it was.")


def _show(address: str, browser: bool, say) -> None:
    """Tell where the page is, and open it."""
    say(f"The studio is open at\n  {address}")
    sys.stdout.flush()
    if browser and not system.open_page(address):
        say("No browser opened by itself: copy the address above into one.")


async def _opened(studio: Studio, designs: list[str]) -> list[str]:
    """The ids of the baskets in `designs`."""
    return [(await studio.open_file(file)).memory.id for file in designs]


def own_address() -> str | None:
    """This machine's address on its network, None where it is in none; nothing is sent to find it."""
    with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        asked.connect(("192.0.2.1", 9))  # an address kept for examples (RFC 5737): choosing a way there sends nothing
        return asked.getsockname()[0]
    return None


def bracketed(host: str) -> str:
    return f"[{host}]" if ":" in host else host


def listen(host: str, port: int | None, usual: int) -> socket.socket:
    """A socket on `port`, or on the first free one from the `usual` on."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    trouble = None
    for each in [port] if port is not None else [*range(usual, usual + TRIED), 0]:
        # By its whole name: without the protocol asyncio does not know it for TCP, lets small answers wait to be sent
        # together (Nagle), and each costs 40 ms.
        made = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        system.share_no_port(made)
        try:
            made.bind((host, each))
            made.listen(64)
            return made
        except OSError as said:
            made.close()
            trouble = said
    raise FileTrouble(
        f"cannot be used: {trouble.strerror or trouble}.", f"{host}, port {port or usual}", "Try another --port."
    )
