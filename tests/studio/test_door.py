"""Who may ask the studio, what, and how much: a real run of it, asked over HTTP as a page, a thief or a fool would.

Sources of the attacks: OWASP cheat sheets "Cross-Site Request Forgery Prevention" and "Content Security Policy"; the
OWASP testing guide on path traversal and DNS rebinding; RFC 9112, section 6, on bodies and their stated lengths.
"""

from __future__ import annotations

import os
import re
import socket
from pathlib import Path

import pytest
from places import PAGE, SOURCE
from samples import pot_text
from studio_run import AS_TYPED, STACKED, Run, children_of, wait_until

from slype.studio.guard import MOST_BODY_BYTES


@pytest.fixture(scope="module")
def run(tmp_path_factory):
    here = tmp_path_factory.mktemp("door")
    (here / "designs").mkdir()
    (here / "state").mkdir()
    (here / "secret.toml").write_text(pot_text("not to be read"), encoding="utf-8")
    started = Run(here / "designs", here / "state", python=STACKED)
    yield started
    started.stop()
    assert "Traceback" not in started.words()


# Who -----------------------------------------------------------------------------------------------------------


def test_it_listens_on_this_machine_only(run):
    assert run.address.startswith("http://127.0.0.1:")
    (row,) = [
        line.split()
        for line in Path("/proc/net/tcp").read_text().splitlines()[1:]
        if line.split()[1].endswith(f":{run.port:04X}") and line.split()[3] == "0A"  # listening
    ]
    assert row[1].split(":")[0] == "0100007F"  # 127.0.0.1 as the kernel writes it


if not os.path.exists("/proc/net/tcp"):
    test_it_listens_on_this_machine_only = pytest.mark.skip("this system has no /proc/net")(
        test_it_listens_on_this_machine_only
    )


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:4747", "127.0.0.1", "127.0.0.1.evil.example", "", "[::1]"]
)
def test_another_name_for_this_machine_is_refused(run, host):
    for path in ("/", "/studio/page/js/main.js", "/api/hello"):
        answer = run.get(path, headers={"Host": host})
        assert answer.status in (400, 421), (path, answer.status)
        assert b"slype studio" in answer.body or answer.status == 400


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "https://127.0.0.1:{port}", "http://127.0.0.1:1", "null", ""]
)
def test_another_sites_page_is_refused_even_with_the_key(run, origin):
    answer = run.post("/api/open", {"new": True}, headers={"Origin": origin.format(port=run.port)})
    assert answer.status == 403
    assert "Another site" in answer.sentence


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_what_the_browser_calls_another_site_is_refused(run, site):
    assert run.get("/api/hello", headers={"Sec-Fetch-Site": site}).status == 403
    assert run.get("/studio/page/js/main.js", headers={"Sec-Fetch-Site": site}).status == 403
    assert run.get("/", headers={"Sec-Fetch-Site": site}).status == 200  # a link to the page harms nobody


def test_its_own_page_is_let_in(run):
    own = {"Origin": f"http://127.0.0.1:{run.port}", "Sec-Fetch-Site": "same-origin"}
    assert run.get("/api/hello", headers=own).status == 200
    assert run.get("/api/hello", headers={"Host": f"localhost:{run.port}"}).status == 200


@pytest.mark.parametrize("key", [None, "", "wrong", "\u00e9"])
def test_everything_under_api_needs_the_key_of_this_run(run, key):
    source = "".join(path.read_text(encoding="utf-8") for path in (SOURCE / "studio" / "asked").glob("*.py"))
    paths = re.findall(r'Route\("(/api/[^"]+)"', source)
    assert len(paths) > 16
    for path in [*paths, "/api/none", "/%61pi/hello"]:
        for method in ("GET", "POST", "PUT", "DELETE"):
            answer = run.ask(method, path.replace("{", "").replace("}", ""), headers={"X-Slype-Key": key})
            assert answer.status == 401, (method, path)
            assert "earlier run" in answer.sentence


def test_the_key_is_long_and_new_in_every_run(run, tmp_path):
    assert len(run.key) >= 32  # 24 bytes of chance
    (tmp_path / "state").mkdir()
    other = Run(tmp_path, tmp_path / "state")
    try:
        assert other.key != run.key and other.port != run.port
        assert other.get("/api/hello", headers={"X-Slype-Key": run.key}).status == 401
    finally:
        other.stop()
    assert run.key not in run.get("/").body.decode() + run.get("/api/hello").body.decode()


# What the browser may do ---------------------------------------------------------------------------------------


def test_every_answer_forbids_what_the_page_does_not_need(run):
    for path in ("/", "/studio/page/js/main.js", "/studio/page/none.js", "/api/hello", "/api/none", "/none"):
        policy = run.get(path).headers["content-security-policy"]
        allowed = dict(part.split(" ", 1) for part in policy.split("; "))
        assert allowed["default-src"] == "'none'"
        assert allowed["script-src"] == allowed["style-src"] == allowed["connect-src"] == "'self'"
        assert allowed["frame-ancestors"] == allowed["base-uri"] == allowed["form-action"] == "'none'"
        assert "unsafe" not in policy and "http" not in policy and "*" not in policy
        assert run.get(path).headers["x-content-type-options"] == "nosniff"
        assert run.get(path).headers["referrer-policy"] == "no-referrer"
        assert "access-control-allow-origin" not in run.get(path).headers
    assert "content-security-policy" in run.get("/", headers={"Host": "evil.example"}).headers


def test_the_page_has_no_script_or_style_in_its_markup_and_calls_nobody(run):
    page = run.get("/").body.decode()
    assert re.findall(r"<script(?![^>]*\bsrc=)", page) == re.findall(r"<style|\sstyle=|\son\w+=", page) == []
    modules = [*PAGE.glob("js/**/*.js"), PAGE / "studio.css"]
    assert len(modules) > 10
    for module in modules:
        text = module.read_text(encoding="utf-8")
        found = re.findall(r"\beval\(|new Function|innerHTML|outerHTML|insertAdjacentHTML|document\.write", text)
        assert not found, f"{module.name}: {found}"
        assert not re.search(r"(?:import|fetch|src=|url)\W{1,3}(?:https?:)?//", text), module.name


@pytest.mark.parametrize(
    "path",
    [
        "/../app.py", "/%2e%2e/app.py", "/js/..%2f..%2fapp.py", "/js/%2e%2e%5cmain.js", "//etc/passwd", "/js/", "/js",
        "/js/main.js%00.css", "/.hidden.js", "/js/main.js/", "/" + "a" * 4000 + ".js", "/__init__.py",
        "/", "/scene/scene.js/", "/../../../etc/passwd",
    ],
)  # fmt: skip
def test_nothing_but_the_pages_own_files_is_sent(run, path):
    for folder in ("/studio/page", "/page"):
        assert run.get(folder + path).status == 404


def test_scripts_and_style_say_what_they_are(run):
    assert run.get("/studio/page/js/main.js").headers["content-type"].startswith("text/javascript")
    assert run.get("/studio/page/studio.css").headers["content-type"].startswith("text/css")


def test_a_browser_keeps_scripts_but_asks_each_time_and_keeps_no_answer_about_baskets(run):
    first = run.get("/studio/page/js/main.js", key=False)
    again = run.get("/studio/page/js/main.js", key=False, headers={"If-None-Match": first.headers["etag"]})
    other = run.get("/studio/page/js/base/store.js", key=False, headers={"If-None-Match": first.headers["etag"]})
    assert (first.status, again.status, other.status) == (200, 304, 200) and again.body == b""
    assert first.headers["cache-control"] == "no-cache"
    assert run.get("/api/hello").headers["cache-control"] == "no-store"


# How much ------------------------------------------------------------------------------------------------------


def test_a_body_beyond_any_design_is_refused_before_it_is_read(run):
    answer = run.post("/api/open", None, headers={"Content-Length": str(MOST_BODY_BYTES + 1)})
    assert answer.status == 413 and "more than the studio takes" in answer.sentence
    for lie in ("-1", "x", "9" * 5000, "1, 2"):
        line = f"POST /api/open HTTP/1.1\r\nHost: 127.0.0.1:{run.port}\r\nX-Slype-Key: {run.key}\r\n"
        assert said(run, f"{line}Content-Length: {lie}\r\n\r\n".encode())[:12] in (b"HTTP/1.1 400", b"HTTP/1.1 413"), (
            lie
        )
    assert run.get("/api/hello").status == 200


def test_an_endless_body_is_cut_off(run):
    head = (
        f"POST /api/open HTTP/1.1\r\nHost: 127.0.0.1:{run.port}\r\nX-Slype-Key: {run.key}\r\n"
        "Transfer-Encoding: chunked\r\n\r\n"
    ).encode()
    chunk = b"10000\r\n" + b" " * 0x10000 + b"\r\n"
    with socket.create_connection(("127.0.0.1", run.port), timeout=20) as line:
        line.sendall(head)
        sent = 0
        try:
            while sent < 50 * MOST_BODY_BYTES:
                line.sendall(chunk)
                sent += 0x10000
        except OSError:
            pass  # hung up on
    assert sent < 20 * MOST_BODY_BYTES  # what lay in the pipes between included
    assert run.get("/api/hello").status == 200


def test_a_body_shorter_than_it_claims_holds_up_nobody(run):
    head = f"POST /api/open HTTP/1.1\r\nHost: 127.0.0.1:{run.port}\r\nX-Slype-Key: {run.key}\r\n"
    with socket.create_connection(("127.0.0.1", run.port), timeout=20) as line:
        line.sendall(f"{head}Content-Length: 500\r\n\r\n{{".encode())
        assert run.get("/api/hello", seconds=5).status == 200


def said(run, raw: bytes) -> bytes:
    with socket.create_connection(("127.0.0.1", run.port), timeout=20) as line:
        line.sendall(raw)
        return line.recv(65536)


ODD = [None, [], 5, True, "\ud800", "\0", {"a": 1}, "x" * 5000, -1, 10**400, 1.5]


@pytest.mark.parametrize("odd", ODD, ids=lambda each: repr(each)[:12])
def test_odd_values_are_answered_with_a_sentence(run, odd):
    basket = run.open(text=pot_text(), name="pot")["id"]
    at = f"/api/baskets/{basket}"
    asked = [run.post("/api/open", {key: odd}) for key in ("path", "example", "text", "id", "name", "hand", "units")]
    asked += [run.post(f"{at}/change", {"changes": odd}), run.post(f"{at}/change", {"changes": [odd]})]
    asked += [run.post(f"{at}/change", {"changes": [{"set": odd, "to": odd}], "label": odd, "merge": odd})]
    asked += [run.post(f"{at}/change", {"changes": [{"set": ["basket", "title"], "to": odd}]})]
    asked += [run.ask("PUT", f"{at}/text", {"text": odd}), run.post(f"{at}/save", {"path": odd})]
    asked += [run.post(f"{at}/save", {"keep": odd}), run.post(f"{at}/step", {"by": odd})]
    asked += [
        run.post(f"{at}/ask", {"question": odd}),
        run.post(f"{at}/ask", {"question": "effects wall", "band": odd}),
    ]
    for answer in asked:
        assert answer.status in (200, 409, 422), answer.body
        assert answer.status == 200 or answer.json["message"].endswith((".", "?"))
    assert run.text(basket).strip()


@pytest.mark.parametrize("raw", [b"", b"[1]", b"{", b"\xff\xfe", b"[" * 1_000_000, b'{"text": ' * 100_000])
def test_a_body_that_is_no_table_is_answered_with_a_sentence(run, raw):
    answer = run.post("/api/open", raw)
    assert answer.status == 422 and "cannot be read" in answer.sentence


# Which files ---------------------------------------------------------------------------------------------------


def test_only_files_in_the_opened_folder_are_read_and_written(run):
    folder, outside = run.folder, run.folder.parent / "secret.toml"
    (folder / "mine.toml").write_text(pot_text(), encoding="utf-8")
    (folder / "notes.txt").write_text(pot_text(), encoding="utf-8")
    (folder / "link.toml").symlink_to(outside)
    (folder / "way").symlink_to(folder.parent)
    (folder / "ways.toml").mkdir()
    beside = folder.parent / "designs-too"  # the same letters at its beginning, but another folder
    beside.mkdir()
    (beside / "pot.toml").write_text(pot_text(), encoding="utf-8")
    assert run.open(path="mine.toml")["path"] == str(folder / "mine.toml")
    assert run.open(path=str(folder / "mine.toml"))["place"] == "mine.toml"
    basket = run.open(text=pot_text("for saving"), name="x")["id"]
    refused = [
        "../secret.toml", str(outside), "link.toml", "way/secret.toml", "notes.txt", "mine.toml\0.txt", "ways.toml",
        str(beside / "pot.toml"), "/etc/passwd", "/dev/zero", ".", "", "none/../../secret.toml", "~/x.toml",
    ]  # fmt: skip
    for path in refused:
        answer = run.post("/api/open", {"path": path})
        assert answer.status == 409, path
        assert "not to be read" not in answer.body.decode()
    before = {
        each: each.read_bytes() for each in folder.parent.rglob("*.t*") if each.is_file() and "state" not in each.parts
    }
    for path in ("../secret", "../new", str(outside), "link", "way/new", "/tmp/new", "ways", "mine", "none/new"):
        assert run.post(f"/api/baskets/{basket}/save", {"path": path, "over": False}).status == 409, path
    after = {
        each: each.read_bytes() for each in folder.parent.rglob("*.t*") if each.is_file() and "state" not in each.parts
    }
    assert after == before


def test_a_name_that_is_no_text_does_not_hide_the_other_files(run):
    (run.folder / "seen.toml").write_text(pot_text(), encoding="utf-8")
    try:
        open(os.fsencode(run.folder) + b"/\xff\xfe.toml", "w").close()
    except OSError:
        pytest.skip("this disk takes only names that are text")
    assert "seen.toml" in [each["name"] for each in run.get("/api/hello").json["files"]]


def test_a_design_whose_name_ends_in_capitals_is_listed(run):
    (run.folder / "UP.TOML").write_text(pot_text(), encoding="utf-8")
    assert "UP.TOML" in [each["name"] for each in run.get("/api/hello").json["files"]]
    assert run.open(path="UP.TOML")["place"] == "UP.TOML"


@pytest.mark.parametrize("deep", [61, 900])
def test_a_change_that_goes_far_deeper_than_any_design_is_answered_with_a_sentence(run, deep):
    basket = run.open(text=pot_text(), name="pot")["id"]
    nested: list = []
    for _ in range(deep):
        nested = [nested]
    for change in ({"set": ["basket", "title"], "to": nested}, {"set": nested, "to": 1}):
        answer = run.post(f"/api/baskets/{basket}/change", {"changes": [change]})
        assert answer.status == 422 and "cannot be read" in answer.sentence


def test_a_folder_whose_name_is_no_text_is_told_and_not_stumbled_over(tmp_path):
    (tmp_path / "state").mkdir()
    odd = os.fsdecode(os.fsencode(tmp_path) + b"/\xff\xfe")
    try:
        os.mkdir(odd)
    except OSError:
        pytest.skip("this disk takes only names that are text")
    with pytest.raises(AssertionError, match=r"bytes that are no letters.*Rename it"):
        Run(tmp_path, tmp_path / "state", places=[odd])


@pytest.mark.parametrize("host", ["no-such-host.invalid", "192.0.2.77", "a" * 70 + ".example"])
def test_an_address_that_is_not_this_machines_does_not_advise_another_port(tmp_path, host):
    (tmp_path / "state").mkdir()
    with pytest.raises(AssertionError, match="address") as said:
        Run(tmp_path, tmp_path / "state", places=[tmp_path, "--host", host])
    assert "--port" not in str(said.value) and "Traceback" not in str(said.value)


def test_a_pipe_with_a_designs_name_is_not_waited_for(run):
    if not hasattr(os, "mkfifo"):
        pytest.skip("this system has no named pipes")
    os.mkfifo(run.folder / "pipe.toml")
    assert run.post("/api/open", {"path": "pipe.toml"}, seconds=10).status == 409
    assert "pipe.toml" not in [each["name"] for each in run.get("/api/hello").json["files"]]


def test_every_address_at_once_is_refused_with_one_that_would_do(tmp_path):
    (tmp_path / "state").mkdir()
    for host in ("0.0.0.0", "::"):
        with pytest.raises(AssertionError, match="every address at once"):
            Run(tmp_path, tmp_path / "state", places=[tmp_path, "--host", host])


def test_ctrl_c_ends_it_and_its_workers_even_while_pages_listen(tmp_path):
    (tmp_path / "state").mkdir()
    run = Run(tmp_path, tmp_path / "state", python=AS_TYPED)
    basket = run.open(text=pot_text(), name="pot")["id"]
    with socket.create_connection(("127.0.0.1", run.port)) as line:
        line.sendall(
            f"GET /api/baskets/{basket}/events HTTP/1.1\r\nHost: 127.0.0.1:{run.port}\r\n"
            f"X-Slype-Key: {run.key}\r\n\r\n".encode()
        )
        assert b'"revision"' in line.recv(4096) + line.recv(4096)
        assert run.stop() == 0
    assert "The studio is closed" in run.words() and "Traceback" not in run.words()
    assert wait_until(lambda: not children_of(run.process.pid))
