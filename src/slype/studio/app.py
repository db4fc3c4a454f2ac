"""The studio's program: what the page may ask, and which worker answers.

Three workers: a quick one reads, changes and reckons figures and stacked pictures, one brings reeds to rest, one makes
pictures in lines and papers. Every change is answered from the quick one; reeds at rest then follow by themselves, and
all windows hear of them.
"""

from __future__ import annotations

import asyncio
import contextlib
import hashlib
import json
import os
import re
import struct
from importlib import resources

from starlette.applications import Starlette
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from .. import __version__
from ..errors import DesignError, FileTrouble, SlypeError
from . import booking, showing
from .bench import Basket
from .guard import TooMuch, is_deep
from .running import ALL_S, CLOSING, QUICK_S, SLOW_S, Studio
from .shown.classes import is_class

TYPES = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",  # said here: some machines know .js as plain text
    ".svg": "image/svg+xml",
    ".json": "application/json",
    ".webmanifest": "application/manifest+json",
}
PART = re.compile(r"[A-Za-z0-9][\w.-]{0,60}", re.ASCII)
"""What a folder or file of the page may be called."""
SLOW_LATER_S = 1.0
"""The worker for reeds at rest begins so much later: until then the page needs the machine."""
HALF = re.compile(rb"\\u[dD][89a-fA-F]")
BEGIN = ("hand", "wording", "units")
"""What a new basket may be asked to begin with."""
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


# Requests ------------------------------------------------------------------------------------------------------


def _studio(request: Request) -> Studio:
    return request.app.state.studio


def _basket(request: Request) -> Basket:
    return _studio(request).bench.basket(request.path_params["key"])


async def _body(request: Request) -> dict:
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


async def _shown(request: Request, basket: Basket) -> Response:
    """The basket's state; `?have=ID.REVISION.FORM`: as bytes, with the basket in space where that is another.

    Such bytes are the state's length (uint32, little endian), the state (JSON, padded with spaces to whole fours), and
    the bytes of `solid`, or none. So a change is in the picture after one question.
    """
    studio = _studio(request)
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
    return _bytes(struct.pack("<I", len(words)) + words + (body or b""))


def _bytes(raw: bytes) -> Response:
    return Response(raw, media_type="application/octet-stream")


PAGE = ("studio", "page")
"""The folder of the page below the package; its address is the same path, so that modules find each other there as they
do on the disk."""
SHARED = ("page",)
"""The folder of what the lesson's page takes too."""


def _file(request: Request, folder: tuple[str, ...], *names: str) -> Response:
    """A file of the page; only what lies in its folder, whatever the address says.

    A browser may keep it (and what it has made of a script) but asks each time whether it is still the same.
    """
    place = resources.files("slype").joinpath(*folder)
    for name in names:
        if not PART.fullmatch(name):
            return Response(status_code=404)
        place = place.joinpath(name)
    kind = TYPES.get(os.path.splitext(names[-1])[1])
    if kind is None or not place.is_file():
        return Response(status_code=404)
    raw = place.read_bytes()
    kept = {"etag": f'"{hashlib.sha256(raw).hexdigest()[:32]}"', "cache-control": "no-cache"}
    if request.headers.get("if-none-match") == kept["etag"]:
        return Response(status_code=304, headers=kept)
    return Response(raw, media_type=kind, headers=kept)


async def page(request: Request) -> Response:
    return _file(request, PAGE, "index.html")


async def classroom(request: Request) -> Response:
    return _file(request, PAGE, "class.html")


async def book(request: Request) -> Response:
    return _file(request, PAGE, "book.html")


async def part(request: Request) -> Response:
    """`/studio/page/NAME` and `/studio/page/FOLDER/NAME`: scripts, style, icon."""
    return _file(request, PAGE, *request.path_params["path"].split("/"))


async def shared(request: Request) -> Response:
    """`/page/NAME` and `/page/FOLDER/NAME`: scripts that the lesson has too."""
    return _file(request, SHARED, *request.path_params["path"].split("/"))


async def hello(request: Request) -> Response:
    studio = _studio(request)
    bench = studio.bench
    files = []
    for folder in bench.folders:
        with contextlib.suppress(OSError):
            for name in sorted(os.listdir(folder)):
                if name.lower().endswith(".toml") and name.isprintable() and os.path.isfile(os.path.join(folder, name)):
                    files.append({"name": name, "path": os.path.join(folder, name), "id": None, "note": folder,
                                  "kind": "basket"})  # fmt: skip
    examples = [
        {
            "name": each.name.removesuffix(".toml"),
            "path": None,
            "id": None,
            "note": _first_comment(each.read_text()),
            "kind": "basket",
        }
        for each in sorted(resources.files("slype").joinpath("examples").iterdir(), key=lambda each: each.name)
        if each.name.endswith(".toml")
    ]
    baskets = list(reversed(bench.baskets.values()))
    on_bench = [
        {
            "name": title,
            "path": memory.path,
            "id": memory.id,
            "note": memory.entries[memory.here].label,
            "kind": "class" if is_class(memory.entries[memory.here].text) else "basket",
        }
        for title, memory in zip(await studio.titles_of(baskets), (each.memory for each in baskets), strict=True)
    ]
    return JSONResponse(
        {"version": __version__, "folders": bench.folders, "bench": on_bench, "files": files, "examples": examples}
    )


def _example(wanted: str) -> str:
    """The text of one of slype's examples. Raises FileTrouble."""
    for each in resources.files("slype").joinpath("examples").iterdir():
        if each.name == f"{wanted}.toml":
            return each.read_text(encoding="utf-8")
    raise FileTrouble("there is no such example.", wanted[:40])


def _first_comment(text: str) -> str:
    return text.splitlines()[0].lstrip("# ")


async def tables(request: Request) -> Response:
    wording = request.query_params.get("wording", "us")
    return JSONResponse(await _studio(request).tables_in("uk" if wording == "uk" else "us"))


async def open_(request: Request) -> Response:
    """Open {path}, {example}, {text, name}, {id}, {last: true} (a new one where none is left) or {new: true}."""
    studio, body = _studio(request), await _body(request)
    bench = studio.bench
    if "path" in body:
        basket = await studio.open_file(body["path"])
    elif "example" in body:
        wanted = str(body["example"])
        basket = await studio.open_text(_example(wanted), f"{wanted} (example)")
    elif "text" in body:
        basket = await studio.open_text(body["text"], body.get("name", "new basket"))
    elif "class_of" in body:
        basket = await studio.open_class(bench.basket(body["class_of"]))
    elif "id" in body:
        basket = bench.basket(body["id"])
    elif body.get("last") is True and (lying := [each for each in bench.baskets.values() if not is_class(each.text)]):
        basket = lying[-1]
    else:
        basket = await studio.open_new({key: body[key] for key in BEGIN if isinstance(body.get(key), str)})
    return await _shown(request, basket)


async def state(request: Request) -> Response:
    return await _shown(request, _basket(request))


async def change(request: Request) -> Response:
    """Apply {changes, label, merge, window} to the basket."""
    studio, basket, body = _studio(request), _basket(request), await _body(request)
    if not isinstance(body.get("changes"), list):
        raise DesignError("the request names no changes.", "changes")
    await studio.change(basket, body["changes"], body.get("label", "changed"), str(body.get("merge", ""))[:40])
    studio.changed(basket, str(body.get("window", "")))
    return await _shown(request, basket)


async def text(request: Request) -> Response:
    """GET the design file's text, or PUT {text} in its place."""
    studio, basket = _studio(request), _basket(request)
    if request.method == "GET":
        return JSONResponse({"text": basket.text, "revision": basket.revision, "name": basket.name})
    body = await _body(request)
    await studio.replace(basket, body.get("text"), "text edited")
    studio.changed(basket, str(body.get("window", "")))
    return await _shown(request, basket)


async def step(request: Request) -> Response:
    studio, basket, body = _studio(request), _basket(request), await _body(request)
    await studio.step(basket, 1 if body.get("by") == 1 else -1)
    studio.changed(basket, str(body.get("window", "")))
    return await _shown(request, basket)


async def save(request: Request) -> Response:
    """Save to {path}, or where the basket belongs; {keep} settles a disagreement with the disk."""
    studio, basket, body = _studio(request), _basket(request), await _body(request)
    if "keep" in body:
        await studio.settle(basket, body["keep"])
    else:
        await studio.save(basket, body.get("path"), body.get("over") is True)
    studio.changed(basket, str(body.get("window", "")))
    return await _shown(request, basket)


async def put_away(request: Request) -> Response:
    studio, basket = _studio(request), _basket(request)
    key = basket.memory.id
    if basket.memory.path is not None and not basket.saved:
        await studio.save(basket)
    for waiting in (studio.resting.pop(key, None), studio.saving.pop(key, None)):
        if waiting is not None:
            waiting.cancel()
    studio.bench.put_away(key)
    return JSONResponse({"gone": True})


async def solid(request: Request) -> Response:
    """The basket in space as bytes (see `solid`). `?form=relaxed`: with its reeds at rest; where they no longer are,
    for another change has come in, as stacked rows, and the bytes say so."""
    studio, basket = _studio(request), _basket(request)
    await studio.state(basket)
    body = studio.solid(basket, request.query_params.get("form") == "relaxed")
    if body is None:
        raise FileTrouble("there is nothing to draw yet.", basket.name)
    return _bytes(body)


async def picture(request: Request) -> Response:
    """`?view=…`, and `relaxed=1`, `hatched=1`, `dots=1`: SVG, or with dots PNG."""
    studio, basket, query = _studio(request), _basket(request), request.query_params
    view = query.get("view", "outside")
    options = {name: query.get(name) == "1" for name in ("relaxed", "hatched", "dots")}
    drawn = await studio.papers.ask(
        "picture", basket.text, basket.name, basket.memory.id, view, options, seconds=SLOW_S
    )
    return Response(drawn, media_type="image/png" if options["dots"] else "image/svg+xml")


async def small(request: Request) -> Response:
    """A small picture of a basket that need not be open: `?id=` of one on the bench, `?path=` or `?example=`."""
    studio, query = _studio(request), request.query_params
    if "id" in query:
        basket = studio.bench.basket(query["id"])
        text, name = basket.text, basket.called
    elif "example" in query:
        text, name = _example(query["example"]), f"{query['example']} (example)"
    else:
        text, name = studio.bench.read_file(query.get("path", ""))
        name = studio.bench.allowed(query.get("path", "")) if is_class(text) else name
    return Response(await studio.small(text, name), media_type="image/png")


async def paper(request: Request) -> Response:
    studio, basket, kind = _studio(request), _basket(request), request.path_params["kind"]
    if kind not in PAPERS:
        raise DesignError(f'slype makes no "{kind[:20]}".', "kind")
    suffix, media = PAPERS[kind]
    options = dict(request.query_params)
    seconds = ALL_S if kind == "everything" else SLOW_S
    if studio.class_at_rest(basket):  # what the page shows is what is printed
        body = await studio.slow.ask("class paper at rest", basket.text, basket.called, kind, options, seconds=ALL_S)
    else:
        body = await studio.papers.ask(
            "paper", basket.text, basket.called, basket.memory.id, kind, options, seconds=seconds
        )
    name = os.path.splitext(basket.name)[0] or "basket"
    if kind == "sheet":
        asked = (request.query_params.get(each) for each in ("reader", "hand", "paper"))
        name += "".join(f" {each}" for each in asked if each)
    safe = "".join(sign if sign.isalnum() or sign in "-_ " else "-" for sign in name) or "basket"
    from urllib.parse import quote

    header = f"attachment; filename*=UTF-8''{quote(safe + suffix)}"
    return Response(body, media_type=media, headers={"content-disposition": header})


async def ask(request: Request) -> Response:
    """Other answers about one basket, by name: {question, ...}."""
    studio, basket, body = _studio(request), _basket(request), await _body(request)
    question = body.get("question")
    if question not in ("effects wall", "moments", "pasted roster", "what if"):
        raise DesignError("there is no such question.", "question")
    details = {key: value for key, value in body.items() if isinstance(value, int | float | str | bool)}
    return JSONResponse(await studio.quick.ask(question, basket.text, basket.called, details, seconds=QUICK_S))


async def events(request: Request) -> Response:
    """News of one basket, a line of JSON each, for as long as the window stays."""
    basket = _basket(request)
    queue: asyncio.Queue = asyncio.Queue()

    async def lines():
        basket.listening.add(queue)
        try:
            yield json.dumps({"revision": basket.revision, "by": ""}) + "\n"
            while True:
                try:
                    said = await asyncio.wait_for(queue.get(), 10)
                except TimeoutError:
                    said = {}  # so that both ends notice when the other has gone
                if said is CLOSING:
                    return
                yield json.dumps(said) + "\n"
        finally:
            basket.listening.discard(queue)

    return StreamingResponse(lines(), media_type="application/x-ndjson")


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
    Route("/", page),
    Route("/class", classroom),
    Route("/book", book),
    Route("/studio/page/{path:path}", part),
    Route("/page/{path:path}", shared),
    Route("/api/hello", hello),
    Route("/api/tables", tables),
    Route("/api/small", small),
    Route("/api/open", open_, methods=["POST"]),
    Route("/api/baskets/{key}", state),
    Route("/api/baskets/{key}", put_away, methods=["DELETE"]),
    Route("/api/baskets/{key}/change", change, methods=["POST"]),
    Route("/api/baskets/{key}/text", text, methods=["GET", "PUT"]),
    Route("/api/baskets/{key}/step", step, methods=["POST"]),
    Route("/api/baskets/{key}/save", save, methods=["POST"]),
    Route("/api/baskets/{key}/solid", solid),
    Route("/api/baskets/{key}/picture", picture),
    Route("/api/baskets/{key}/paper/{kind}", paper),
    Route("/api/baskets/{key}/ask", ask, methods=["POST"]),
    Route("/api/baskets/{key}/events", events),
    *booking.routes(_body),
    *showing.routes(_basket, _body),
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
