"""The studio and the shared lesson, asked over HTTP what no page would ask. One of each serves all trials."""

from __future__ import annotations

import atexit
import functools
import http.client
import json
import os
import random
import re
import signal
import socket
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from places import SOURCE
from studio_run import Run, children_of

from slype import system
from slype.design.file.keys import KEYS

from .designs import EXAMPLES, HOSTILE, fitting, text_of
from .trial import Outcome, Said, broken

MANY = 8
"""Questions of one trial."""
GETS = (
    "",
    "/solid",
    "/solid?form=relaxed",
    "/text",
    "/picture?view=outside",
    "/picture?view=%00",
    "/picture?view=squares",
    "/paper/nothing",
    "/paper/chart",
    "/paper/svg?view=above",
    "/events/",
    "/../../etc/passwd",
)


@functools.cache
def _studio() -> Run:
    here = Path(tempfile.mkdtemp(prefix="attack-studio-"))
    for name in ("designs", "state"):
        (here / name).mkdir()
    for i, text in enumerate(EXAMPLES):
        (here / "designs" / f"a{i}.toml").write_text(text, encoding="utf-8")
    run = Run(here / "designs", here / "state")
    atexit.register(run.kill)
    return run


def studio(seed: int, folder: Path):
    """Open a basket, change it oddly, ask oddly, now and then kill or freeze a worker, put it away."""
    by, run, outcome = random.Random(f"studio {seed}"), _studio(), Outcome()
    raw = text_of(by.randrange(10**9))[1].decode("utf-8", "replace") if by.random() < 0.4 else by.choice(EXAMPLES)
    opened = _ask(run, outcome, "POST", "/api/open", {"text": raw, "name": "attacked"})
    if opened is None or "id" not in opened:
        return outcome, "", False
    at = f"/api/baskets/{opened['id']}"
    hurt = by.random() < 0.05
    if hurt:
        _hurt_a_worker(run, by)
    for _ in range(MANY):
        _ask(run, outcome, *_odd_question(at, by))
    if hurt:  # a frozen one is waited for as long as its question may take, then asked again
        outcome.said = [replace(each, cpu_s=0.0) for each in outcome.said]
    told = _ask(run, outcome, "GET", f"{at}/text", None)
    if told is not None and "text" not in told:
        outcome.said.append(broken(("lost", at), "the basket's text is gone"))
    _ask(run, outcome, "DELETE", at, None)
    if "Traceback" in run.words():
        outcome.said.append(Said(("studio",), 99, 0.0, "", run.words()[-1500:]))
        _studio.cache_clear()
    return outcome, "", False


def _odd_question(at: str, by: random.Random) -> tuple:
    key = by.choice(KEYS)
    path = [key.table, *([by.choice((0, 1, 99, -1))] if key.table in ("band", "handle") else []), key.name]
    odd = by.choice(HOSTILE)
    change = by.choice(
        (
            {"set": path, "to": fitting(tuple(path), by, None)},
            {"set": path, "to": odd},
            {"remove": path},
            {"insert": [key.table], "at": by.choice((0, 1, 99, -1, "x")), "value": odd},
            {"move": [key.table], "from": 0, "to": odd},
            {"set": odd, "to": odd},
            {"set": [odd], "to": 1},
            {"rename": path, "to": odd},
            odd,
        )
    )
    return by.choice(
        (
            ("POST", f"{at}/change", {"changes": [change], "label": "odd"}),
            ("POST", f"{at}/change", {"changes": [change, change], "merge": odd if isinstance(odd, str) else "m"}),
            ("POST", f"{at}/step", {"by": by.choice((1, -1, odd))}),
            (
                "POST",
                f"{at}/ask",
                {"question": by.choice(("effects wall", "moments", "moment", "what if", odd)), "band": odd},
            ),
            (
                "POST",
                f"{at}/save",
                by.choice(({"path": odd}, {"path": f"s{by.randrange(50)}", "over": True}, {"keep": odd})),
            ),
            ("PUT", f"{at}/text", {"text": by.choice((odd, by.choice(EXAMPLES)))}),
            ("GET", at + by.choice(GETS), None),
            ("POST", "/api/open", {by.choice(("path", "id", "example", "class_of", "text")): odd}),
        )
    )


def _ask(run: Run, outcome: Outcome, way: str, path: str, body) -> dict | None:
    began, used = time.monotonic(), _used(run)
    words = (way, path, json.dumps(body, default=str)[:300] if body is not None else "")
    try:
        sent = None if body is None else json.dumps(body).encode()
        answer = run.ask(way, path, sent, seconds=600)  # a frozen worker is given up after two minutes, asked twice
        status, raw = answer.status, answer.body
    except (OSError, http.client.HTTPException, ValueError) as trouble:
        outcome.said.append(broken(words, f"no answer: {trouble!r}"))
        return None
    wrong = f"{status} {raw[:300]!r}" if status >= 500 or b"itself stumbled" in raw else ""
    spent = min(time.monotonic() - began, _used(run) - used)  # a busy machine makes nobody late
    outcome.said.append(Said(words, 0, max(0.0, spent), "", "", wrong))
    try:
        found = json.loads(raw)
    except ValueError:
        return {}
    return found if isinstance(found, dict) else {}


def _used(run: Run) -> float:
    """Seconds of a processor that the studio and its workers have used."""
    return sum(system.seconds_used(each) or 0.0 for each in (run.process.pid, *children_of(run.process.pid)))


def _hurt_a_worker(run: Run, by: random.Random) -> None:
    workers = children_of(run.process.pid)
    if workers:
        try:
            os.kill(by.choice(workers), by.choice((signal.SIGKILL, signal.SIGSTOP)))
        except ProcessLookupError:
            pass


@functools.cache
def _lesson() -> tuple[int, Path]:
    here = Path(tempfile.mkdtemp(prefix="attack-lesson-"))
    (here / "posy.toml").write_bytes((SOURCE / "examples" / "posy.toml").read_bytes())
    said = here / "said.txt"
    with said.open("w") as out:
        process = subprocess.Popen(
            [
                sys.executable,
                "-m",
                "slype",
                "lesson",
                "posy.toml",
                "--share",
                "--seats",
                "--no-browser",
                "--host",
                "127.0.0.1",
            ],
            cwd=here,
            stdout=out,
            stderr=out,
            env={**os.environ, "PYTHONPATH": str(SOURCE.parent), "PYTHONUNBUFFERED": "1"},
        )
    atexit.register(process.kill)
    until = time.monotonic() + 120
    while time.monotonic() < until:
        found = re.search(r"http://127\.0\.0\.1:(\d+)", said.read_text(encoding="utf-8"))
        if found:
            return int(found[1]), said
        time.sleep(0.1)
    raise RuntimeError(f"the lesson was not shared: {said.read_text()}")


LINES = (
    b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n",
    b"GET /../../etc/passwd HTTP/1.1\r\nHost: x\r\n\r\n",
    b"\x16\x03\x01" * 50,
    b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 99999999999\r\n\r\n",
    b"GET " + b"/a" * 9000 + b" HTTP/1.1\r\n\r\n",
    b"POST /seat HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 4\r\n\r\nabcd",
    b"GET / HTTP/9.9\r\n\r\n",
    b"\r\n\r\n\r\n",
    b"PUT / HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n",
    b"GET / HTTP/1.1\r\n" + b"A: b\r\n" * 900 + b"\r\n",
    b"GET /wall HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n",
    b"GET /seats?%00 HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n",
    b"",
)


def shared(seed: int, folder: Path):
    """Odd bytes to the shared lesson, whole and broken off; after them it must still show its page."""
    by, outcome = random.Random(f"shared {seed}"), Outcome()
    port, said = _lesson()
    for _ in range(MANY):
        raw = bytearray(by.choice(LINES))
        for _ in range(by.choice((0, 0, 1, 8))):
            if raw:
                raw[by.randrange(len(raw))] = by.randrange(256)
        _send(port, bytes(raw), by)
    began, line = time.monotonic(), http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    try:
        line.request("GET", "/")
        answer = line.getresponse()
        whole = answer.status == 200 and len(answer.read()) > 10_000
        wrong = "" if whole else f"status {answer.status}"
    except (OSError, http.client.HTTPException) as trouble:
        wrong = f"no page: {trouble!r}"
    finally:
        line.close()
    outcome.said.append(Said(("page",), 0, time.monotonic() - began, "", "", wrong))
    if "Traceback" in said.read_text(encoding="utf-8"):
        outcome.said.append(Said(("lesson",), 99, 0.0, "", said.read_text(encoding="utf-8")[-1500:]))
    return outcome, "", False


def _send(port: int, raw: bytes, by: random.Random) -> None:
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=5) as line:
            line.sendall(raw)
            if by.random() < 0.5:
                line.settimeout(0.3)
                line.recv(4096)
    except OSError:
        pass
