"""A lesson shown in the room: one page, read only, on the room's network, and nothing else of this machine.

Theory
1. Whoever stands in the network may ask; so the server knows one page and no files, no folders, no design, no studio.
   It is no part of the studio's program and has none of its answers. Every other path is refused, and so is writing.
2. A name that is not its own is refused (against DNS rebinding), and so is a question from another site's page.
3. Every question has a deadline and a largest size, and there is room for so many at once; whoever is slow or sends
   nonsense loses the line, and the others are answered meanwhile.
4. Where the teacher wants it, a student may let a seat tell how far it is: a seat's number and hundredths done. They
   are kept here while the page is shown; there is no question that reads them.
"""

from __future__ import annotations

import asyncio
import contextlib
import gzip
import html
import io
import json
import os
import socket
import sys
import tempfile
from collections.abc import Callable

import h11

from .. import system
from ..errors import DesignError
from ..files import write
from .network import EVERY_ADDRESS, bracketed, listen, own_address

PORT = 4787
MOST_LINES = 256  # phones that ask at the same time
HEAD_BYTES, HEAD_S = 8192, 10.0
"""How large a question may be, and how long it may take to arrive."""
SEND_BYTES, SEND_S = 32_768, 20.0
"""The page is sent in pieces, and each has so long to be taken."""
BODY_BYTES = 64
SEATS = 99
HEADERS = (
    ("Cache-Control", "no-store"),
    ("Content-Security-Policy", "frame-ancestors 'none'"),  # the rest stands in the page: see lesson.whole
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "no-referrer"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
    ("Connection", "close"),
)


class Sharing:
    """One page on show. `seats` holds what the seats have told: hundredths done by a seat's number."""

    def __init__(self, page: bytes, host: str | None = None, port: int | None = None, told: bool = False) -> None:
        """`told` lets seats tell how far they are. Raises DesignError where there is no network to show it in."""
        found = host or own_address()
        if found is None:
            raise DesignError("this machine is in no network.", "--share", "Join the room's network, or name --host.")
        self.host: str = found
        if self.host in ("0.0.0.0", "::"):
            raise DesignError(EVERY_ADDRESS, "--host", "Name the one of the room.")
        self.page, self.packed, self.told = page, gzip.compress(page, 6, mtime=0), told
        self.port, self.lines = port, 0
        self.seats: dict[int, int] = {}
        self.news: Callable[[], None] = lambda: None
        self.server: asyncio.Server | None = None
        self.open: set[asyncio.Task] = set()

    @property
    def address(self) -> str:
        """What phones open."""
        return f"http://{bracketed(self.host)}:{self.port}/"

    async def start(self) -> None:
        """Raises FileTrouble where the address cannot be had."""
        listening: socket.socket = listen(self.host, self.port, PORT)
        self.port = listening.getsockname()[1]
        self.names = {f"{bracketed(self.host)}:{self.port}"} | ({bracketed(self.host)} if self.port == 80 else set())
        self.server = await asyncio.start_server(self._taken, sock=listening, limit=HEAD_BYTES)

    async def close(self) -> None:
        """Nobody is answered any more, and no line stays open."""
        if self.server is None:
            return
        self.server.close()
        for task in list(self.open):
            task.cancel()
        await asyncio.gather(*self.open, return_exceptions=True)
        await self.server.wait_closed()
        self.server = None

    # One line ------------------------------------------------------------------------------------------------------

    async def _taken(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        task = asyncio.current_task()
        assert task is not None, "every line is answered in a task of its own"
        self.open.add(task)
        try:
            if len(self.open) <= MOST_LINES:
                await self._answered(reader, writer)
        except (TimeoutError, ConnectionError, h11.ProtocolError, asyncio.CancelledError):
            writer.transport.abort()
        finally:
            self.open.discard(task)
            writer.close()
            with contextlib.suppress(Exception):
                await writer.wait_closed()

    async def _answered(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        line = h11.Connection(h11.SERVER, max_incomplete_event_size=HEAD_BYTES)
        try:
            asked, body = await asyncio.wait_for(_question(line, reader), HEAD_S)
        except h11.RemoteProtocolError:
            return await _send(line, writer, 400, "This is no question for a page.", ())
        if asked is None:
            return None
        status, said, more = self._answer(asked, body)
        return await _send(line, writer, status, said, more, asked.method == b"HEAD")

    def _answer(self, asked: h11.Request, body: bytes | None) -> tuple[int, str | bytes, tuple]:
        """(status, text or page, further headers)."""
        headers = dict(asked.headers)
        names = [value for name, value in asked.headers if name == b"host"]
        if [name.decode("latin-1").lower() for name in names] not in [[name] for name in self.names]:
            return 421, "This address is not the lesson's.", ()
        origin = headers.get(b"origin")
        if origin is not None and origin.decode("latin-1").lower() not in {f"http://{name}" for name in self.names}:
            return 403, "Another site may not ask for the lesson.", ()
        if asked.target == b"/seat" and self.told:
            return self._seat(body) if asked.method == b"POST" else (405, "A seat only tells.", (("Allow", "POST"),))
        if asked.target != b"/":
            return 404, "There is only the lesson here.", ()
        if asked.method not in (b"GET", b"HEAD"):
            return 405, "The lesson can only be read.", (("Allow", "GET, HEAD"),)
        kind = (("Content-Type", "text/html; charset=utf-8"), ("Vary", "Accept-Encoding"))
        if b"gzip" in headers.get(b"accept-encoding", b""):
            return 200, self.packed, (*kind, ("Content-Encoding", "gzip"))
        return 200, self.page, kind

    def _seat(self, body: bytes | None) -> tuple[int, str, tuple]:
        try:
            said = json.loads(body or b"")
            seat, done = said["seat"], said["done"]
            fine = (
                type(seat) is int and 1 <= seat <= SEATS and (done is None or (type(done) is int and 0 <= done <= 100))
            )
        except (ValueError, KeyError, TypeError, RecursionError):
            fine = False
        if not fine:
            return 400, "A seat tells its number and how far it is.", ()
        if done is None:  # it no longer wants to
            self.seats.pop(seat, None)
        else:
            self.seats[seat] = done
        self.news()
        return 204, "", ()


async def _question(line: h11.Connection, reader: asyncio.StreamReader) -> tuple[h11.Request | None, bytes | None]:
    """(the question, its body; None where it is larger than any seat needs); (None, None) where nothing came."""
    asked, body = None, b""
    while True:
        event = line.next_event()
        if event is h11.NEED_DATA:
            line.receive_data(await reader.read(4096))
        elif isinstance(event, h11.Request):
            asked = event
        elif isinstance(event, h11.Data):
            body += bytes(event.data)
            if len(body) > BODY_BYTES:
                return asked, None
        elif isinstance(event, h11.EndOfMessage):
            return asked, body
        else:
            return None, None


async def _send(line: h11.Connection, writer, status: int, said: str | bytes, more: tuple, head: bool = False) -> None:
    raw = said if isinstance(said, bytes) else said.encode()
    plain = () if isinstance(said, bytes) else (("Content-Type", "text/plain; charset=utf-8"),)
    length = () if status == 204 else (("Content-Length", str(len(raw))),)
    answer = h11.Response(status_code=status, headers=[*HEADERS, *plain, *more, *length], reason=b"")
    writer.write(line.send(answer))
    for at in range(0, 0 if head else len(raw), SEND_BYTES):
        writer.write(line.send(h11.Data(data=raw[at : at + SEND_BYTES])))
        await asyncio.wait_for(writer.drain(), SEND_S)
    with contextlib.suppress(h11.LocalProtocolError):  # an answer cut short, as HEAD wants it
        writer.write(line.send(h11.EndOfMessage()) or b"")
    await asyncio.wait_for(writer.drain(), SEND_S)


# From the command line --------------------------------------------------------------------------------------------


def show(
    page: bytes, title: str, host: str | None, port: int | None, told: bool, browser: bool, say: Callable = print
) -> None:
    """Show the page until Ctrl-C. Address and code are printed; with `browser` the code is opened for the wall."""
    sharing = Sharing(page, host, port, told)
    with tempfile.TemporaryDirectory() as folder:
        hear_no_more = asyncio.run(_shown(sharing, title, os.path.join(folder, "code.html") if browser else None, say))
    say("The lesson is no longer shown.")
    hear_no_more()


async def _shown(sharing: Sharing, title: str, wall: str | None, say: Callable) -> Callable[[], None]:
    """What `system.hear_stopping` gave, once it was asked to stop."""
    await sharing.start()
    loop, ended = asyncio.get_running_loop(), asyncio.Event()
    hear_no_more = system.hear_stopping(lambda: loop.call_soon_threadsafe(ended.set))
    say(code_in_letters(sharing.address))
    say(f"{title} is shown at\n  {sharing.address}")
    say(who_can_see(sharing))
    say("Keep this window open; Ctrl-C ends it.")
    sys.stdout.flush()
    if wall:
        write(wall, for_the_wall(sharing.address, title))
        system.open_page(f"file://{wall}")

    def news() -> None:
        say("Seats: " + (", ".join(f"{seat}: {done} %" for seat, done in sorted(sharing.seats.items())) or "none"))
        sys.stdout.flush()

    sharing.news = news
    try:
        await ended.wait()
    finally:
        await sharing.close()
    return hear_no_more


def who_can_see(sharing: Sharing) -> str:
    """Who can open the page, and what of this machine they can reach."""
    if sharing.host in ("127.0.0.1", "localhost", "::1"):
        return "Only this machine can open it."
    seats = " A seat may tell you how far it is: its number, no name; nobody else can ask." if sharing.told else ""
    all_ = "Everyone in this network can open it, read only, and nothing else of this machine. Nothing is encrypted."
    return all_ + seats


def code_in_letters(address: str) -> str:
    """The code (QR, ISO/IEC 18004) to point a phone at, for a terminal."""
    import segno

    out = io.StringIO()
    segno.make_qr(address, error="m").terminal(out, compact=True, border=2)
    return out.getvalue()


def code_in_lines(address: str) -> str:
    """The same as SVG, as large as its place, black on white."""
    import segno

    out = io.BytesIO()
    segno.make_qr(address, error="m").save(out, border=4, kind="svg", xmldecl=False, omitsize=True, light="#fff")
    return out.getvalue().decode()


def for_the_wall(address: str, title: str) -> str:
    """A page with the code as large as the screen, to be read from the back of the room."""
    style = (
        "body{margin:0;height:100vh;display:grid;grid-template-rows:auto 1fr auto;place-items:center;background:#fff;"
        "color:#000;font:4vh system-ui,sans-serif}svg{height:76vh}p{margin:1vh}"
    )
    return (
        f'<!doctype html><html lang="en"><meta charset="utf-8"><title>{html.escape(title)}</title>'
        f"<style>{style}</style><p>{html.escape(title)}</p>{code_in_lines(address)}<p>{html.escape(address)}</p></html>"
    )
