"""The studio's button that shows a lesson in the room: started, watched and ended by the page that asked for it.

The lesson is served by `sharing` on the room's network, apart from the studio, which stays on this machine. It ends
with the page's window, and where that is gone without a word, some minutes after it was last heard of.
"""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Awaitable, Callable

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from ..running import Studio
from ..sharing import Sharing, code_in_lines, who_can_see

UNHEARD_S = 300.0
"""Browsers wake a page that lies behind others once a minute."""


class Showing:
    """The one lesson on show, if any."""

    def __init__(self) -> None:
        self.sharing: Sharing | None = None
        self.title = ""
        self.ending: asyncio.TimerHandle | None = None
        self.tasks: set[asyncio.Task] = set()

    async def begin(self, page: bytes, title: str, seats: bool) -> None:
        """Show a page in place of any other. Raises DesignError or FileTrouble where it cannot be shown."""
        await self.end()
        sharing = Sharing(page, told=seats)
        await sharing.start()
        self.sharing, self.title = sharing, title
        self.heard()

    def heard(self) -> None:
        """The studio's page is still there."""
        if self.ending is not None:
            self.ending.cancel()
        self.ending = asyncio.get_running_loop().call_later(UNHEARD_S, self._end_later)

    def _end_later(self) -> None:
        task = asyncio.ensure_future(self.end())
        self.tasks.add(task)
        task.add_done_callback(self.tasks.discard)

    async def end(self) -> None:
        if self.ending is not None:
            self.ending.cancel()
        sharing, self.sharing = self.sharing, None
        if sharing is not None:
            await sharing.close()

    def told(self) -> dict:
        """What the page shows of it."""
        if self.sharing is None:
            return {"address": None}
        seats = [[seat, done] for seat, done in sorted(self.sharing.seats.items())]
        return {
            "address": self.sharing.address,
            "title": self.title,
            "code": code_in_lines(self.sharing.address),
            "who": who_can_see(self.sharing),
            "seats": seats if self.sharing.told else None,
        }


def routes(basket_of: Callable, body_of: Callable[[Request], Awaitable[dict]]) -> list[Route]:
    """The questions of the button; `basket_of` and `body_of` read a request as the studio's program does."""

    async def show(request: Request) -> Response:
        """Show the lesson of a basket; {seats: true} lets seats tell how far they are."""
        studio: Studio = request.app.state.studio
        basket, body = basket_of(request), await body_of(request)
        seats = body.get("seats") is True
        page = await studio.paper(basket, "lesson", {"seats": "1" if seats else "0"})
        await request.app.state.showing.begin(page, basket.called, seats)
        return JSONResponse(request.app.state.showing.told())

    async def shown(request: Request) -> Response:
        request.app.state.showing.heard()
        return JSONResponse(request.app.state.showing.told())

    async def end(request: Request) -> Response:
        await request.app.state.showing.end()
        return JSONResponse({"address": None})

    return [
        Route("/api/baskets/{key}/show", show, methods=["POST"]),
        Route("/api/shown", shown),
        Route("/api/shown", end, methods=["DELETE"]),
    ]


@contextlib.asynccontextmanager
async def showing_while(app):
    """The lesson on show ends with the studio."""
    app.state.showing = Showing()
    try:
        yield
    finally:
        await app.state.showing.end()
