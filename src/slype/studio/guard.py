"""The door of the studio: who may ask, how much, and what a browser may do with the answers.

Theory
1. The program listens on this machine only, unless its maker says otherwise. A page of another site can still make the
   browser send requests here: so the Host a request names and the Origin it comes from must be the studio's own
   (against DNS rebinding and cross-site requests, OWASP cheat sheets "DNS rebinding" and "CSRF prevention").
2. Everything under /api needs the secret of this run in a header, which no other site can set or read. It reaches the
   page in the part of the address after "#", which browsers send to nobody.
3. A body larger than any design is refused before it is read to the end.
4. Answers carry a content security policy without inline script or style, so that a title in a hostile file stays text.
"""

from __future__ import annotations

import hmac
import json
from collections.abc import Awaitable, Callable

KEY_HEADER = b"x-slype-key"
MOST_BODY_BYTES = 2_000_000
"""Ten times the largest design file: a request holds a file's text as JSON, at worst six letters for one."""

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "worker-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob: data:",
        "connect-src 'self'",
        "font-src 'self'",
        "manifest-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cache-control", b"no-store"),
)

App = Callable[[dict, Callable, Callable], Awaitable[None]]


class Guard:
    """An ASGI application in front of another: `hosts` the names this run answers to, with their ports ("localhost:
    4747"), `secret` what requests under /api must carry."""

    def __init__(self, app: App, hosts: frozenset[str], secret: str) -> None:
        self.app, self.hosts, self.secret = app, hosts, secret

    async def __call__(self, scope: dict, receive: Callable, send: Callable) -> None:
        if scope["type"] == "lifespan":
            return await self.app(scope, receive, send)
        if scope["type"] != "http":  # there are no sockets here
            return None
        headers = dict(scope["headers"])
        why = self._refusal(scope, headers)
        if why:
            status, message = why
            return await _say(_with_headers(send), status, message)
        return await self.app(scope, _measured(receive, send), _with_headers(send))

    def _refusal(self, scope: dict, headers: dict[bytes, bytes]) -> tuple[int, str] | None:
        """(status, sentence) of why a request is turned away, or None."""
        host = headers.get(b"host", b"").decode("latin-1").lower()
        if host not in self.hosts:
            return 421, "This address is not the studio's. Use the one that slype studio printed."
        origin = headers.get(b"origin")
        if origin is not None and origin.decode("latin-1").lower() not in {f"http://{name}" for name in self.hosts}:
            return 403, "Another site may not ask the studio."
        if headers.get(b"sec-fetch-site", b"none") not in (b"none", b"same-origin") and scope["path"] != "/":
            return 403, "Another site may not ask the studio."
        if scope["path"].startswith("/api/") and not hmac.compare_digest(
            headers.get(KEY_HEADER, b""), self.secret.encode()
        ):
            return 401, "This page is from an earlier run. Open the address that slype studio printed last."
        length = headers.get(b"content-length", b"0")
        if not length.isdigit() or int(length) > MOST_BODY_BYTES:
            return 413, "That is more than the studio takes in at once."
        return None


class TooMuch(Exception):
    """A body that goes on beyond MOST_BODY_BYTES."""


def _measured(receive: Callable, send: Callable) -> Callable:
    """`receive` that stops a body without a stated length from growing for ever."""
    taken = 0

    async def measured() -> dict:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > MOST_BODY_BYTES:
            raise TooMuch
        return message

    return measured


def _with_headers(send: Callable) -> Callable:
    async def sending(message: dict) -> None:
        if message["type"] == "http.response.start":
            own = {name for name, _ in message.get("headers", [])}
            more = [(name, value) for name, value in HEADERS if name not in own]
            message = {**message, "headers": [*message.get("headers", []), *more]}
        await send(message)

    return sending


async def _say(send: Callable, status: int, message: str) -> None:
    body = json.dumps({"message": message, "where": "", "remedy": ""}).encode()
    headers = [
        (b"content-type", b"application/json"),
        (b"content-length", str(len(body)).encode()),
        (b"connection", b"close"),  # whatever else it sends is not read
    ]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})


DEEPEST = 60
"""How far lists and tables of a request may lie in each other; those of a design lie five deep."""


def is_deep(body: dict) -> bool:
    """True where a request goes deeper than any design, and than what reads it could follow."""
    level: list[object] = [body]
    for _ in range(DEEPEST):
        level = [
            inner
            for each in level
            for inner in (each.values() if isinstance(each, dict) else each if isinstance(each, list) else ())
            if isinstance(inner, dict | list)
        ]
    return bool(level)
