"""`slype studio`: starts the program, opens the page, stops cleanly."""

from __future__ import annotations

import asyncio
import contextlib
import os
import secrets
import sys
from typing import TYPE_CHECKING

from ... import files, system
from ...errors import DesignError, FileTrouble
from ..network import EVERY_ADDRESS, bracketed, listen, own_address

if TYPE_CHECKING:
    from ..running import Studio

PORT = 4747


def baskets_folder() -> str:
    """A folder for those who start the studio without naming one: Baskets, among this user's documents."""
    folder = os.path.join(system.documents_folder(), "Baskets")
    files.make_folder(folder)
    return folder


def run(folders: list[str], designs: list[str], host: str, port: int | None, browser: bool, say=print) -> None:
    """Serve until stopped. Raises FileTrouble where a folder, a file or the address cannot be had."""
    from .. import already
    from ..journal import Journal, Taken
    from ..workers import Worker

    if host in ("0.0.0.0", "::", ""):
        raise DesignError(EVERY_ADDRESS, "--host", f"Name one: {own_address() or 'for example 192.168.1.20'}.")
    for folder in folders:
        if not os.path.isdir(folder):
            raise FileTrouble("there is no such folder.", folder, "Make it first, or name another.")
    for place in (*map(os.path.realpath, folders), *designs):
        if not place.isprintable():  # a browser could not ask for what lies there
            raise FileTrouble(
                "this name holds bytes that are no letters.", os.fsencode(place).decode("utf-8", "replace"),
                "Rename it in letters and ordinary signs (UTF-8), then open it.",
            )  # fmt: skip
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

    from ..bench import Bench
    from ..guard import Guard
    from ..reading import Reading
    from ..running import Studio
    from .app import application

    reading = Reading(quick)
    bench = Bench(folders, journal, reading.check)
    studio = Studio(bench, reading)
    first = asyncio.run(_opened(studio, designs))
    port = listening.getsockname()[1]
    secret = secrets.token_urlsafe(24)
    names = {host, *(("localhost", "127.0.0.1") if host in ("127.0.0.1", "localhost") else ())}
    named = {f"{bracketed(name)}{end}" for name in names for end in (f":{port}", *([""] if port == 80 else []))}
    app = Guard(application(studio), frozenset(named), secret)  # browsers leave out port 80
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
        def capture_signals(self):
            return contextlib.nullcontext()  # they are heard from before the address is told until all is closed

        def stop(self) -> None:
            self.should_exit = True
            with contextlib.suppress(RuntimeError):  # not serving yet
                asyncio.get_running_loop().call_soon_threadsafe(studio.close)  # it may have broken into what that ends

    server = Server(config)
    hear_no_more = system.hear_stopping(server.stop)
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
    server.run(sockets=[listening])
    studio.close()  # asked to stop before it served
    already.forget(state)
    bench.journal.close()
    say("The studio is closed. Every basket is kept as it was.")
    hear_no_more()


def _show(address: str, browser: bool, say) -> None:
    """Tell where the page is, and open it."""
    say(f"The studio is open at\n  {address}")
    sys.stdout.flush()
    if browser and not system.open_page(address):
        say("No browser opened by itself: copy the address above into one.")


async def _opened(studio: Studio, designs: list[str]) -> list[str]:
    """The ids of the baskets in `designs`."""
    return [(await studio.open_file(file)).memory.id for file in designs]
