"""The book's part of the studio's program: its page, and what the page asks. A worker opens the book and closes it
again for every answer, so that a fault in it harms no window."""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Awaitable, Callable
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from ...errors import DesignError, SlypeError
from ..bench import Basket, read_text
from ..running import SLOW_S, Studio
from ..shown.class_texts import is_class

MOST_FIELDS, MOST_SIGNS = 400, 4000
"""Of one form: a basket of forty bands has some hundred fields."""
PAPERS = {
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", "html": "text/html",
    "zip": "application/zip", "toml": "application/toml",
}  # fmt: skip
MOST_DESIGNS = 60
"""Designs looked through for what can be made."""


def _beside(studio: Studio, key: str) -> tuple[str, str]:
    """(text, name) of the basket or class that the book lies beside: the one asked for, else none."""
    basket: Basket | None = studio.bench.basket(key) if key else None
    return (basket.text, basket.called) if basket else ("", "")


def _designs(studio: Studio) -> list[tuple[str, str]]:
    """(name, text) of the designs on the bench and in its folders, each text once."""
    found = {each.text: each.name for each in studio.bench.baskets.values() if not is_class(each.text)}
    for folder in studio.bench.folders:
        with contextlib.suppress(OSError):
            for name in sorted(os.listdir(folder)):
                if name.lower().endswith(".toml") and name.isprintable() and len(found) < MOST_DESIGNS:
                    with contextlib.suppress(SlypeError):
                        text = read_text(os.path.join(folder, name))
                        if not is_class(text):
                            found.setdefault(text, name)
    return [(name, text) for text, name in found.items()][:MOST_DESIGNS]


def routes(body: Callable[[Request], Awaitable[dict]]) -> list[Route]:
    """The addresses of the book."""

    async def look(request: Request) -> Response:
        """GET `?basket=ID`: the whole book, beside that basket."""
        studio: Studio = request.app.state.studio
        words = _beside(studio, request.query_params.get("basket", ""))
        return JSONResponse(await studio.papers.ask("book", *words, seconds=SLOW_S))

    async def do(request: Request) -> Response:
        """POST {act, fields, basket}: something done to the book."""
        studio: Studio = request.app.state.studio
        asked = await body(request)
        act, fields = str(asked.get("act", ""))[:40], asked.get("fields", {})
        if not isinstance(fields, dict) or len(fields) > MOST_FIELDS:
            raise DesignError("the request cannot be read.", "fields", "Reload the page.")
        typed = {str(key)[:200]: str(value) for key, value in fields.items()}
        if any(len(value) > MOST_SIGNS for value in typed.values()):
            raise DesignError(
                "is longer than the book takes.", next(k for k, v in typed.items() if len(v) > MOST_SIGNS)
            )
        words = _beside(studio, str(asked.get("basket", "")))
        designs = _designs(studio) if act == "make" else []
        return JSONResponse(await studio.papers.ask("book act", act, typed, *words, designs, seconds=SLOW_S))

    async def paper(request: Request) -> Response:
        """GET `?kind=`: a year (xlsx, html), the whole book (zip), or the design of a basket (toml), to take away."""
        studio: Studio = request.app.state.studio
        kind = request.query_params.get("kind", "")
        if kind not in PAPERS:
            raise DesignError(f'the book makes no "{kind[:20]}".', "kind")
        body, name = await studio.papers.ask("book paper", kind, dict(request.query_params), seconds=SLOW_S)
        header = f"attachment; filename*=UTF-8''{quote(name)}"
        return Response(body, media_type=PAPERS[kind], headers={"content-disposition": header})

    async def photograph(request: Request) -> Response:
        """POST the bytes of a picture; `?asked=` what to measure in it (JSON), or `?keep=BASKET&name=`."""
        studio: Studio = request.app.state.studio
        raw, query = await request.body(), request.query_params
        if "keep" in query:
            words = ("keep photograph", raw, query["keep"][:40], query.get("name", "")[:200])
            return JSONResponse(await studio.papers.ask(*words, seconds=SLOW_S))
        try:
            asked = json.loads(query.get("asked", ""))
        except (ValueError, RecursionError):
            asked = None
        if not isinstance(asked, dict):
            raise DesignError("the request cannot be read.", "photograph", "Reload the page.")
        return JSONResponse(await studio.papers.ask("photograph", raw, asked, seconds=SLOW_S))

    return [
        Route("/api/book", look),
        Route("/api/book", do, methods=["POST"]),
        Route("/api/book/paper", paper),
        Route("/api/book/photograph", photograph, methods=["POST"]),
    ]
