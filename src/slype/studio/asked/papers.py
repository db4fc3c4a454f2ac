"""Pictures and papers of a basket or class: seen in the page, or sent to be kept."""

from __future__ import annotations

import os
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import Response

from ...errors import DesignError, FileTrouble
from ..running import ALL_S, SLOW_S
from ..shown.class_texts import is_class
from .baskets import example
from .requests import basket_of, of_bytes, studio_of

PAPERS = {  # kind: (suffix, type)
    "sheet": (".pdf", "application/pdf"),
    "lesson": (".html", "text/html; charset=utf-8"),  # sent to be kept, never shown from here: see `paper`
    "glb": (".glb", "model/gltf-binary"),
    "svg": (".svg", "image/svg+xml"),
    "png": (".png", "image/png"),
    "chart": (".svg", "image/svg+xml"),
    "folder": (".pdf", "application/pdf"),
    "workbook": (".xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
    "calendar": (".ics", "text/calendar; charset=utf-8"),
    "lists": (".zip", "application/zip"),
    "everything": (".zip", "application/zip"),
}


async def solid(request: Request) -> Response:
    """The basket in space as bytes (see `solid`). `?form=relaxed`: with its reeds at rest; where they no longer are,
    for another change has come in, as stacked rows, and the bytes say so."""
    studio, basket = studio_of(request), basket_of(request)
    await studio.state(basket)
    body = studio.solid(basket, request.query_params.get("form") == "relaxed")
    if body is None:
        raise FileTrouble("there is nothing to draw yet.", basket.name)
    return of_bytes(body)


async def picture(request: Request) -> Response:
    """`?view=…`, and `relaxed=1`, `hatched=1`, `dots=1`: SVG, or with dots PNG."""
    studio, basket, query = studio_of(request), basket_of(request), request.query_params
    view = query.get("view", "outside")
    options = {name: query.get(name) == "1" for name in ("relaxed", "hatched", "dots")}
    drawn = await studio.picture(basket, view, options)
    return Response(drawn, media_type="image/png" if options["dots"] else "image/svg+xml")


async def small(request: Request) -> Response:
    """A small picture of a basket that need not be open: `?id=` of one on the bench, `?path=` or `?example=`."""
    studio, query = studio_of(request), request.query_params
    if "id" in query:
        basket = studio.bench.basket(query["id"])
        text, name = basket.text, basket.called
    elif "example" in query:
        text, name = example(query["example"]), f"{query['example']} (example)"
    else:
        text, name = studio.bench.read_file(query.get("path", ""))
        name = studio.bench.allowed(query.get("path", "")) if is_class(text) else name
    return Response(await studio.small(text, name), media_type="image/png")


async def paper(request: Request) -> Response:
    studio, basket, kind = studio_of(request), basket_of(request), request.path_params["kind"]
    if kind not in PAPERS:
        raise DesignError(f'slype makes no "{kind[:20]}".', "kind")
    suffix, media = PAPERS[kind]
    options = dict(request.query_params)
    seconds = ALL_S if kind == "everything" else SLOW_S
    if studio.class_at_rest(basket):  # what the page shows is what is printed
        body = await studio.slow.ask("class paper at rest", basket.text, basket.called, kind, options, seconds=ALL_S)
    else:
        body = await studio.paper(basket, kind, options, seconds)
    name = os.path.splitext(basket.name)[0] or "basket"
    if kind == "sheet":
        asked = (request.query_params.get(each) for each in ("reader", "hand", "paper"))
        name += "".join(f" {each}" for each in asked if each)
    safe = "".join(sign if sign.isalnum() or sign in "-_ " else "-" for sign in name) or "basket"
    header = f"attachment; filename*=UTF-8''{quote(safe + suffix)}"
    return Response(body, media_type=media, headers={"content-disposition": header})
