"""The studio's program: what the page may ask, and which worker answers.

Three workers: a quick one reads, changes and reckons figures and stacked pictures, one brings reeds to rest, one makes
pictures in lines and papers. Every change is answered from the quick one; reeds at rest then follow by themselves, and
all windows hear of them.
"""

from __future__ import annotations

import asyncio
import contextlib

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from ...errors import FileTrouble, SlypeError
from ..guard import TooMuch
from ..running import Studio
from . import baskets, booking, pages, papers, requests, showing

SLOW_LATER_S = 1.0
"""The worker for reeds at rest begins so much later: until then the page needs the machine."""


async def on_stumble(request: Request, trouble: Exception) -> Response:
    """A fault of slype's own: the terminal has the story, the page a sentence."""
    return JSONResponse(
        {"message": f"slype itself stumbled ({type(trouble).__name__}).", "where": "", "remedy": ""}, 500
    )


async def on_trouble(request: Request, trouble: Exception) -> Response:
    if isinstance(trouble, TooMuch):
        said = {"message": "That is more than the studio takes in at once.", "where": "", "remedy": ""}
        return JSONResponse(said, 413, {"connection": "close"})  # what else is sent is not read
    assert isinstance(trouble, SlypeError), "as it is told below which it is for"
    return JSONResponse(trouble.as_json(), 409 if isinstance(trouble, FileTrouble) else 422)


ROUTES = [
    Route("/", pages.page),
    Route("/class", pages.classroom),
    Route("/book", pages.book),
    Route("/studio/page/{path:path}", pages.part),
    Route("/page/{path:path}", pages.shared),
    Route("/api/hello", baskets.hello),
    Route("/api/tables", baskets.tables),
    Route("/api/small", papers.small),
    Route("/api/open", baskets.open_, methods=["POST"]),
    Route("/api/baskets/{key}", baskets.state),
    Route("/api/baskets/{key}", baskets.put_away, methods=["DELETE"]),
    Route("/api/baskets/{key}/change", baskets.change, methods=["POST"]),
    Route("/api/baskets/{key}/text", baskets.text, methods=["GET", "PUT"]),
    Route("/api/baskets/{key}/step", baskets.step, methods=["POST"]),
    Route("/api/baskets/{key}/save", baskets.save, methods=["POST"]),
    Route("/api/baskets/{key}/solid", papers.solid),
    Route("/api/baskets/{key}/picture", papers.picture),
    Route("/api/baskets/{key}/paper/{kind}", papers.paper),
    Route("/api/baskets/{key}/ask", baskets.ask, methods=["POST"]),
    Route("/api/baskets/{key}/events", baskets.events),
    *booking.routes(requests.body_of),
    *showing.routes(requests.basket_of, requests.body_of),
]


def application(studio: Studio) -> Starlette:
    """The program without its guard."""

    @contextlib.asynccontextmanager
    async def lifespan(app: Starlette):
        studio.quick.start()
        asyncio.get_running_loop().call_later(SLOW_LATER_S, studio.slow.start)
        watching = asyncio.create_task(studio.watch_disk())
        try:
            async with showing.showing_while(app):
                yield
        finally:
            watching.cancel()
            studio.save_all()
            studio.close()

    handlers = {SlypeError: on_trouble, TooMuch: on_trouble, Exception: on_stumble}
    app = Starlette(routes=ROUTES, lifespan=lifespan, exception_handlers=handlers)
    app.state.studio = studio
    return app
