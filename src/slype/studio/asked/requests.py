"""A request of the page: which basket it is about, what it brings, and the forms an answer takes."""

from __future__ import annotations

import json
import re
import struct

from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response

from ...errors import DesignError
from ..bench import Basket
from ..guard import is_deep
from ..running import Studio

HALF = re.compile(rb"\\u[dD][89a-fA-F]")


def studio_of(request: Request) -> Studio:
    return request.app.state.studio


def basket_of(request: Request) -> Basket:
    return studio_of(request).bench.basket(request.path_params["key"])


async def body_of(request: Request) -> dict:
    """The JSON of a request, which must be a table. Raises DesignError."""
    try:
        raw = await request.body()
        body = json.loads(raw)
        if HALF.search(raw):
            json.dumps(body, ensure_ascii=False).encode()  # half a letter can be neither kept nor sent back
    except (ValueError, RecursionError, ClientDisconnect):
        body = None
    if not isinstance(body, dict) or is_deep(body):
        raise DesignError("the request cannot be read.", "", "Reload the page.")
    return body


async def shown(request: Request, basket: Basket) -> Response:
    """The basket's state; `?have=ID.REVISION.FORM`: as bytes, with the basket in space where that is another.

    Such bytes are the state's length (uint32, little endian), the state (JSON, padded with spaces to whole fours), and
    the bytes of `solid`, or none. So a change is in the picture after one question.
    """
    studio = studio_of(request)
    state = await studio.state(basket)
    have = request.query_params.get("have")
    if have is None:
        return JSONResponse(state)
    body = None
    if state["look"] is not None and state["revision"] == basket.revision:
        form = "relaxed" if state["look"]["relaxed"] else "stacked"
        if have != f"{state['id']}.{state['revision']}.{form}":
            body = studio.solid(basket, form == "relaxed")
    words = json.dumps(state, ensure_ascii=False, separators=(",", ":")).encode()
    words += b" " * (-len(words) % 4)
    return of_bytes(struct.pack("<I", len(words)) + words + (body or b""))


def of_bytes(raw: bytes) -> Response:
    return Response(raw, media_type="application/octet-stream")
