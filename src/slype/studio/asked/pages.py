"""The page's own files: scripts, styles, pictures, fonts; nothing else of the machine."""

from __future__ import annotations

import hashlib
import os
import re
from importlib import resources

from starlette.requests import Request
from starlette.responses import Response

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
