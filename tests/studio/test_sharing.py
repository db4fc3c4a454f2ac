"""A lesson shown in the room: one page and nothing else, for forty phones and rude ones, and over when it is over."""

from __future__ import annotations

import asyncio
import contextlib
import gzip
import io
import json
import os
import re
import signal
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

import pytest
from browser import UNSEEN
from PIL import Image
from places import EXAMPLES, SOURCE
from studio_run import wait_until

from slype.draw.views import png
from slype.errors import DesignError
from slype.studio.asked.showing import Showing
from slype.studio.sharing import BODY_BYTES, Sharing, code_in_letters, code_in_lines, for_the_wall, who_can_see

PAGE = b"<!doctype html>" + b"a lesson " * 60_000
HERE = "127.0.0.1"


def apart(does):
    """What the coroutine `does()` gives, run in a thread of its own: the browser's driver has a loop in this one."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(lambda: asyncio.run(_awaited(does))).result(90)


async def _awaited(does):
    return await does()


def shown(does, told: bool = False, page: bytes = PAGE):
    """What `does(sharing)` gives while a page is shown."""

    async def run():
        sharing = Sharing(page, HERE, None, told)
        await sharing.start()
        try:
            return await asyncio.wait_for(does(sharing), 60)
        finally:
            await sharing.close()

    return apart(run)


async def said(sharing, raw: bytes) -> bytes:
    """Everything that comes back on a line of its own."""
    reader, writer = await asyncio.open_connection(HERE, sharing.port)
    with contextlib.suppress(ConnectionError):
        writer.write(raw)
        await writer.drain()
    try:
        return await reader.read()
    except ConnectionError:
        return b""
    finally:
        writer.close()


def question(sharing, method="GET", path="/", body=b"", host=None, **headers) -> bytes:
    lines = [f"{method} {path} HTTP/1.1", f"Host: {host or f'{HERE}:{sharing.port}'}"]
    lines += [f"{name.replace('_', '-')}: {value}" for name, value in headers.items()]
    lines += [f"Content-Length: {len(body)}"] if body else []
    return "\r\n".join([*lines, "", ""]).encode() + body


async def asked(sharing, *args, **how) -> tuple[int, dict[str, str], bytes]:
    """(status, headers, body) of one answer."""
    head, _, body = (await said(sharing, question(sharing, *args, **how))).partition(b"\r\n\r\n")
    first, *rest = head.decode().split("\r\n")
    return int(first.split()[1]), {n.lower(): v for n, _, v in (line.partition(": ") for line in rest)}, body


def test_the_page_is_sent_whole_and_packed_where_a_browser_takes_it():
    async def does(sharing):
        plain, packed = await asked(sharing), await asked(sharing, Accept_Encoding="gzip, br")
        assert plain[0] == packed[0] == 200
        assert plain[2] == PAGE == gzip.decompress(packed[2])
        assert plain[1]["content-type"] == "text/html; charset=utf-8"
        assert (await asked(sharing, "HEAD"))[2] == b""

    shown(does)


@pytest.mark.parametrize(
    "path",
    ["/index.html", "/api/hello", "/page/studio.css", "/../pyproject.toml", "/%2e%2e/", "//", "/?x=1", "/seat",
     "/.git/config", "/estuary.toml", "/lesson.html", "*", "http://127.0.0.1/"],
)  # fmt: skip
def test_every_other_path_is_refused_and_tells_no_name(path):
    async def does(sharing):
        status, _, body = await asked(sharing, path=path)
        assert status == 404
        assert body == b"There is only the lesson here."

    shown(does)


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "PROPFIND", "CONNECT"])
def test_writing_is_refused(method):
    async def does(sharing):
        assert (await asked(sharing, method, body=b"x"))[0] == 405
        assert (await asked(sharing, method, "/seat", body=b'{"seat": 1, "done": 5}'))[0] == 404
        assert sharing.seats == {}

    shown(does)


@pytest.mark.parametrize("host", ["evil.example", "localhost", "127.0.0.1", "127.0.0.1:1", "[::1]"])
def test_a_foreign_host_is_refused(host):
    async def does(sharing):
        assert (await asked(sharing, host=host))[0] == 421

    shown(does)


def test_another_sites_page_is_refused():
    async def does(sharing):
        assert (await asked(sharing, Origin="http://evil.example"))[0] == 403
        assert (await asked(sharing, "POST", "/seat", b'{"seat": 1, "done": 5}', Origin="null"))[0] == 403
        assert sharing.seats == {}

    shown(does, told=True)


def test_a_seat_tells_its_number_and_nobody_can_ask():
    async def does(sharing):
        tell = lambda **words: asked(sharing, "POST", "/seat", json.dumps(words).encode())  # noqa: E731
        assert (await tell(seat=7, done=34))[0] == 204
        assert (await tell(seat=3, done=100))[0] == 204
        assert sharing.seats == {7: 34, 3: 100}
        for bad in (dict(seat=0, done=1), dict(seat=7, done=101), dict(seat="7", done=1), dict(seat=True, done=1),
                    dict(done=1), dict(seat=7, done=1.5), dict(seat=7, done="x" * 60)):  # fmt: skip
            assert (await tell(**bad))[0] == 400, bad
        assert (await asked(sharing, "POST", "/seat", b"[" * (BODY_BYTES + 1)))[0] == 400
        assert (await asked(sharing, path="/seat"))[0] == 405
        assert sharing.seats == {7: 34, 3: 100}
        assert (await tell(seat=7, done=None))[0] == 204
        assert sharing.seats == {3: 100}

    shown(does, told=True)


def test_forty_phones_at_once_each_get_all_of_it():
    async def does(sharing):
        answers = await asyncio.gather(*(asked(sharing) for _ in range(40)))
        assert all(status == 200 and body == PAGE for status, _, body in answers)

    shown(does)


RUDE = [
    b"\x16\x03\x01\x02\x00nonsense",
    b"GET\r\n\r\n",
    b"GET / HTTP/1.1\r\n\r\n",
    b"GET / HTTP/1.1\r\nX: " + b"y" * 20_000,
    b"G" * 100_000,
    b"POST /seat HTTP/1.1\r\nHost: h\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n",
    b"GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n",
    b"\r\n" * 5000,
]


def test_slow_and_rude_ones_lose_their_line_and_the_others_are_answered(monkeypatch):
    monkeypatch.setattr("slype.studio.sharing.HEAD_S", 0.4)
    monkeypatch.setattr("slype.studio.sharing.SEND_S", 0.4)

    async def does(sharing):
        silent = [await asyncio.open_connection(HERE, sharing.port) for _ in range(30)]
        slow = [await asyncio.open_connection(HERE, sharing.port, limit=1) for _ in range(10)]
        for _, writer in slow:  # asks, and takes nothing of the answer
            writer.write(question(sharing))
        for raw in RUDE:
            answer = await said(sharing, raw)
            assert answer == b"" or answer.split()[1] in (b"400", b"421"), raw[:20]
        assert (await asked(sharing))[0] == 200, "meanwhile"
        for reader, writer in silent:
            with contextlib.suppress(ConnectionError):
                assert await reader.read() == b""
            writer.close()
        for _, writer in slow:
            writer.transport.abort()
        assert (await asked(sharing))[0] == 200

    shown(does, page=PAGE * 20)


def test_nothing_is_left_open_after_the_end():
    async def run():
        sharing = Sharing(PAGE, HERE)
        await sharing.start()
        reader, writer = await asyncio.open_connection(HERE, sharing.port)
        while not sharing.open:
            await asyncio.sleep(0)
        await sharing.close()
        with contextlib.suppress(ConnectionError):
            assert await reader.read() == b""
        writer.close()
        with pytest.raises(ConnectionError):
            await asyncio.open_connection(HERE, sharing.port)
        assert not sharing.open

    apart(run)


def test_every_address_at_once_is_refused():
    with pytest.raises(DesignError, match="every address at once"):
        Sharing(PAGE, "0.0.0.0")


def test_it_says_who_can_see_it_and_shows_a_code():
    sharing = Sharing(PAGE, "192.0.2.7", 4787)
    assert "Everyone in this network" in who_can_see(sharing) and "read only" in who_can_see(sharing)
    assert "Only this machine" in who_can_see(Sharing(PAGE, HERE, 4787))
    assert code_in_letters(sharing.address).count("\n") > 10
    wall = for_the_wall(sharing.address, "A <b>pot</b>")
    assert "<svg" in wall and sharing.address in wall and "<b>" not in wall


def test_a_phone_that_looks_at_the_code_reads_the_address():
    """Read back by another library (ZXing), as drawn for the wall."""
    zxingcpp = pytest.importorskip("zxingcpp")
    image = Image.open(io.BytesIO(png(code_in_lines("http://192.0.2.7:4787/"), 600))).convert("L")
    assert [each.text for each in zxingcpp.read_barcodes(image)] == ["http://192.0.2.7:4787/"]


# From the studio -----------------------------------------------------------------------------------------------


def test_the_studio_shows_one_lesson_at_a_time_and_ends_it(monkeypatch):
    monkeypatch.setattr("slype.studio.sharing.own_address", lambda: HERE)

    async def run():
        showing = Showing()
        await showing.begin(PAGE, "A pot", seats=True)
        first = showing.sharing
        assert (await asked(first, "POST", "/seat", b'{"seat": 4, "done": 12}'))[0] == 204
        assert showing.told()["seats"] == [[4, 12]] and showing.told()["address"] == first.address
        await showing.begin(PAGE + b"another", "Another", seats=False)
        assert (await asked(showing.sharing))[2].endswith(b"another") and showing.told()["seats"] is None
        last = showing.sharing.port
        await showing.end()
        assert showing.told() == {"address": None}
        with pytest.raises(ConnectionError):
            await asyncio.open_connection(HERE, last)

    apart(run)


def test_it_ends_when_the_studios_page_is_not_heard_of_any_more(monkeypatch):
    monkeypatch.setattr("slype.studio.sharing.own_address", lambda: HERE)
    monkeypatch.setattr("slype.studio.asked.showing.UNHEARD_S", 0.05)

    async def run():
        showing = Showing()
        await showing.begin(PAGE, "A pot", seats=False)
        while showing.sharing is not None:
            await asyncio.sleep(0.01)

    apart(lambda: asyncio.wait_for(run(), 10))


def test_a_machine_without_a_network_says_so(monkeypatch):
    monkeypatch.setattr("slype.studio.sharing.own_address", lambda: None)
    with pytest.raises(DesignError, match="in no network"):
        Sharing(PAGE)


def test_the_studio_hands_out_the_lesson_as_a_file_to_keep_and_shows_it_when_asked(run):
    basket = run.open(example="posy")["id"]
    answer = run.get(f"/api/baskets/{basket}/paper/lesson")
    assert answer.status == 200 and answer.headers["content-disposition"].startswith("attachment")
    assert b"Dunlin posy pot" in answer.body and answer.body.startswith(b"<!doctype html>")
    assert run.ask("POST", f"/api/baskets/{basket}/show", {}, key=False).status == 401
    answer = run.post(f"/api/baskets/{basket}/show", {"seats": True})
    if answer.status == 422:
        assert "in no network" in answer.sentence
        return
    assert answer.json["address"] == run.get("/api/shown").json["address"]
    assert "<svg" in answer.json["code"]
    assert run.ask("DELETE", "/api/shown").json == {"address": None} == run.get("/api/shown").json


# As a teacher does ---------------------------------------------------------------------------------------------


def test_from_the_command_line_to_a_phone_and_a_seat_that_tells(tmp_path, chromium):
    """The command shows the page; a phone opens it, counts, and lets its seat tell; Ctrl-C ends it."""
    heard = tmp_path / "heard.txt"
    words = ["lesson", str(EXAMPLES / "posy.toml"), "--share", "--seats", "--host", HERE, "--no-browser"]
    surroundings = {**os.environ, "PYTHONPATH": str(SOURCE.parent), "PYTHONUNBUFFERED": "1"}
    with heard.open("w") as out:
        teacher = subprocess.Popen(
            [sys.executable, "-m", "slype", *words], env=surroundings, stdout=out, stderr=out,
            # Whoever runs the tests in the background has Ctrl-C ignored, and so would whatever they start.
            preexec_fn=None if os.name == "nt" else lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
        )  # fmt: skip
    try:
        address = wait_until(lambda: re.search(r"http://\S+", heard.read_text(encoding="utf-8")), 60)[0]
        phone = chromium.new_page(viewport={"width": 390, "height": 844})
        phone.add_init_script(UNSEEN)
        phone.goto(address)
        phone.click("[data-tab=more]")
        phone.select_option("[data-set=seat]", "7")
        phone.evaluate("slypeLesson.places.go(Math.ceil(slypeLesson.order.moments / 2))")
        phone.click("[data-tab=count]")
        assert wait_until(lambda: "Seats: 7: 50 %" in heard.read_text(encoding="utf-8"), 20), heard.read_text()
        assert phone.evaluate("fetch('/seat').then((answer) => answer.status)") == 405
        phone.click("[data-tab=more]")
        assert phone.get_attribute("a[download]", "href") == "/"
        phone.close()
    finally:
        teacher.send_signal(signal.SIGINT)
        assert teacher.wait(60) == 0
    assert "no longer shown" in heard.read_text(encoding="utf-8") and "Traceback" not in heard.read_text()
