"""A studio that really runs, for tests: started, asked over HTTP, stopped or killed."""

from __future__ import annotations

import http.client
import json
import os
import re
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import nursery

import slype

START_S = 60
"""A first start on a busy machine; a warm one takes half a second."""
AS_TYPED = [sys.executable, "-m", "slype.__main__"]
"""As a maker begins it, process and workers from nothing; all others are born of the `nursery` where there is one."""
STACKED = [sys.executable, "-c", """
from slype.studio import running
from slype.studio.asked import app
running.REST_AFTER_S = app.SLOW_LATER_S = float("inf")
from slype.cli.commands import main
main()
"""]  # fmt: skip
"""A studio whose baskets stay stacked, and that begins no worker to settle them: to bring reeds to rest after every
change, and to show them anew, takes a fifth of what its tests take, and only some ask of it."""


class Answer:
    """Status, headers and body of one answer."""

    def __init__(self, status: int, headers: dict[str, str], body: bytes) -> None:
        self.status, self.headers, self.body = status, headers, body

    @property
    def json(self):
        return json.loads(self.body)

    @property
    def sentence(self) -> str:
        """What a refusal says, all of it."""
        said = self.json
        return " ".join(said[key] for key in ("where", "message", "remedy") if said[key])


class Run:
    """One run of `slype studio FOLDER --no-browser`, remembering in `state`."""

    def __init__(
        self, folder: Path, state: Path, port: int | None = None, *, places: list | None = None, path: str = "",
        python: list[str] | None = None,
    ) -> None:  # fmt: skip
        """`python`: words that run slype; with `path` or any but STACKED they run in a process begun for them alone."""
        self.folder, self.state = folder, state
        words = [*(str(place) for place in (places or [folder])), "--no-browser"]
        surroundings = {
            **os.environ,
            "SLYPE_STATE": str(state),
            "PYTHONPATH": path or str(Path(slype.__file__).parent.parent),
            "PYTHONUNBUFFERED": "1",
        }
        if port is not None:
            words += ["--port", str(port)]
        words = ["studio", *words]
        self.said = state.parent / f"said-{time.monotonic_ns()}.txt"
        with self.said.open("w") as out:
            if nursery.POSSIBLE and not path and python in (None, STACKED):
                self.process = nursery.born(words, surroundings, self.said, python is not None)
            else:
                words = [*(python or AS_TYPED), *words]
                self.process = subprocess.Popen(words, env=surroundings, stdout=out, stderr=out)
        self.address = self._address()
        self.port = int(re.search(r":(\d+)/", self.address)[1])
        self.key = re.search(r"key=([\w-]+)", self.address)[1]

    def words(self) -> str:
        """Everything the terminal shows so far."""
        return self.said.read_text(encoding="utf-8")

    def _address(self) -> str:
        until = time.monotonic() + START_S
        while time.monotonic() < until:
            found = re.search(r"http://\S+", self.words())
            if found:
                return found[0]
            if self.process.poll() is not None:
                break
            time.sleep(0.02)
        self.kill()
        raise AssertionError(f"the studio did not start: {self.words()}")

    def ask(
        self, method: str, path: str, body=None, headers: dict | None = None, key: bool = True, seconds=60
    ) -> Answer:
        """One question over a connection of its own; `body` JSON or bytes. A header None is left out."""
        sent = {"X-Slype-Key": self.key if key else None, **(headers or {})}
        raw = body if isinstance(body, bytes | type(None)) else json.dumps(body).encode()
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=seconds)
        try:
            line.request(method, path, raw, {name: value for name, value in sent.items() if value is not None})
            answer = line.getresponse()
            return Answer(answer.status, {k.lower(): v for k, v in answer.getheaders()}, answer.read())
        finally:
            line.close()

    def get(self, path: str, **how) -> Answer:
        return self.ask("GET", path, **how)

    def post(self, path: str, body, **how) -> Answer:
        return self.ask("POST", path, body, **how)

    def open(self, **what) -> dict:
        """The state of a basket just opened, by {path}, {example}, {text, name}, {id} or {new}."""
        answer = self.post("/api/open", what)
        assert answer.status == 200, answer.body
        return answer.json

    def change(self, basket: str, *changes: dict, label: str = "changed", merge: str = "") -> dict:
        """The state after `changes`, which must be taken."""
        answer = self.post(f"/api/baskets/{basket}/change", {"changes": changes, "label": label, "merge": merge})
        assert answer.status == 200, answer.body
        return answer.json

    def text(self, basket: str) -> str:
        return self.get(f"/api/baskets/{basket}/text").json["text"]

    def undo(self, basket: str, by: int = -1) -> dict:
        return self.post(f"/api/baskets/{basket}/step", {"by": by}).json

    def kill(self) -> None:
        """As when the power of one program goes: no time for last words."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGKILL if os.name != "nt" else signal.SIGTERM)
        self.process.wait(20)

    def stop(self) -> int:
        """As Ctrl-C does; the exit status."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
        return self.process.wait(20)


def wait_until(true, seconds: float = 10.0, every: float = 0.03):
    """What `true()` says once it says something, within `seconds`."""
    until = time.monotonic() + seconds
    while True:
        said = true()
        if said or time.monotonic() > until:
            return said
        time.sleep(every)


def free_port() -> int:
    """One that no studio takes by itself: what is stopped and started anew on its port finds it free."""
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        return asked.getsockname()[1]


def children_of(process: int) -> list[int]:
    """Processes begun by `process`; none where the system does not tell."""
    out = []
    for each in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = each.read_text().rpartition(")")[2].split()
        except OSError:
            continue
        if int(fields[1]) == process and fields[0] != "Z":
            out.append(int(each.parent.name))
    return out
