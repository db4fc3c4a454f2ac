"""Baskets opened, changed, stepped back, saved and put away; questions about one, and its news."""

from __future__ import annotations

import asyncio
import contextlib
import json
import os
from importlib import resources

from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse

from ... import __version__
from ...errors import DesignError, FileTrouble
from ..running import CLOSING, QUICK_S
from ..shown.class_texts import is_class
from .requests import basket_of, body_of, shown, studio_of

BEGIN = ("hand", "wording", "units")
"""What a new basket may be asked to begin with."""


async def hello(request: Request) -> Response:
    studio = studio_of(request)
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


def example(wanted: str) -> str:
    """The text of one of slype's examples. Raises FileTrouble."""
    for each in resources.files("slype").joinpath("examples").iterdir():
        if each.name == f"{wanted}.toml":
            return each.read_text(encoding="utf-8")
    raise FileTrouble("there is no such example.", wanted[:40])


def _first_comment(text: str) -> str:
    return text.splitlines()[0].lstrip("# ")


async def tables(request: Request) -> Response:
    wording = request.query_params.get("wording", "us")
    return JSONResponse(await studio_of(request).tables_in("uk" if wording == "uk" else "us"))


async def open_(request: Request) -> Response:
    """Open {path}, {example}, {text, name}, {id}, {last: true} (a new one where none is left) or {new: true}."""
    studio, body = studio_of(request), await body_of(request)
    bench = studio.bench
    if "path" in body:
        basket = await studio.open_file(body["path"])
    elif "example" in body:
        wanted = str(body["example"])
        basket = await studio.open_text(example(wanted), f"{wanted} (example)")
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
    return await shown(request, basket)


async def state(request: Request) -> Response:
    return await shown(request, basket_of(request))


async def change(request: Request) -> Response:
    """Apply {changes, label, merge, window} to the basket."""
    studio, basket, body = studio_of(request), basket_of(request), await body_of(request)
    if not isinstance(body.get("changes"), list):
        raise DesignError("the request names no changes.", "changes")
    await studio.change(basket, body["changes"], body.get("label", "changed"), str(body.get("merge", ""))[:40])
    studio.changed(basket, str(body.get("window", "")))
    return await shown(request, basket)


async def text(request: Request) -> Response:
    """GET the design file's text, or PUT {text} in its place."""
    studio, basket = studio_of(request), basket_of(request)
    if request.method == "GET":
        return JSONResponse({"text": basket.text, "revision": basket.revision, "name": basket.name})
    body = await body_of(request)
    await studio.replace(basket, body.get("text"), "text edited")
    studio.changed(basket, str(body.get("window", "")))
    return await shown(request, basket)


async def step(request: Request) -> Response:
    studio, basket, body = studio_of(request), basket_of(request), await body_of(request)
    await studio.step(basket, 1 if body.get("by") == 1 else -1)
    studio.changed(basket, str(body.get("window", "")))
    return await shown(request, basket)


async def save(request: Request) -> Response:
    """Save to {path}, or where the basket belongs; {keep} settles a disagreement with the disk."""
    studio, basket, body = studio_of(request), basket_of(request), await body_of(request)
    if "keep" in body:
        await studio.settle(basket, body["keep"])
    else:
        await studio.save(basket, body.get("path"), body.get("over") is True)
    studio.changed(basket, str(body.get("window", "")))
    return await shown(request, basket)


async def put_away(request: Request) -> Response:
    studio, basket = studio_of(request), basket_of(request)
    key = basket.memory.id
    if basket.memory.path is not None and not basket.saved:
        await studio.save(basket)
    for waiting in (studio.resting.pop(key, None), studio.saving.pop(key, None)):
        if waiting is not None:
            waiting.cancel()
    studio.bench.put_away(key)
    return JSONResponse({"gone": True})


async def ask(request: Request) -> Response:
    """Other answers about one basket, by name: {question, ...}."""
    studio, basket, body = studio_of(request), basket_of(request), await body_of(request)
    question = body.get("question")
    if question not in ("effects wall", "moments", "pasted roster", "what if"):
        raise DesignError("there is no such question.", "question")
    details = {key: value for key, value in body.items() if isinstance(value, int | float | str | bool)}
    return JSONResponse(await studio.quick.ask(question, basket.text, basket.called, details, seconds=QUICK_S))


async def events(request: Request) -> Response:
    """News of one basket, a line of JSON each, for as long as the window stays."""
    basket = basket_of(request)
    queue: asyncio.Queue = asyncio.Queue()

    async def lines():
        basket.listening.add(queue)
        try:
            first: dict[str, object] = {"revision": basket.revision, "by": ""}
            if studio_of(request).is_at_rest(basket):  # perhaps since the window asked for it, before it listened
                first["rested"] = basket.revision
            yield json.dumps(first) + "\n"
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
