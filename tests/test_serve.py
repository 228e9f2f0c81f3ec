"""The preview: this machine only, nothing but the site, and a reader who sees each change and each fault."""

from __future__ import annotations

import http.client
import os
import sys
import threading
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

import pytest

from builder.ground.faults import Fault, FaultsFound
from builder.serve import TYPES, PortError, Preview, fresh, serve, server

PAGE = b"<!doctype html><html><head><title>Home</title></head><body><p>Home</p></body></html>"
STRICT = b'<!doctype html><head><meta http-equiv="Content-Security-Policy" content="script-src \'sha256-x\'"></head>'
SITE = {
    "index.html": PAGE,
    "clock/index.html": PAGE,
    "clock/embed.html": STRICT,
    "clock/train.svg": b"<svg/>",
    "static/player.js": b"1",
    "static/site.css": b"p{}",
    "data.bin": b"\0",
}


class Bench:
    """A preview that runs, and its files: what `build` gives out can be changed."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.builds = folder, 0
        self.result: dict[str, bytes] | Exception = SITE
        self.told: list[str] = []
        self.preview = Preview(self.build, [folder], self.told.append)
        self.server = server(self.preview, 0)
        self.port = self.server.server_port

    def build(self) -> dict[str, bytes]:
        self.builds += 1
        if isinstance(self.result, Exception):
            raise self.result
        return self.result

    def ask(self, path: str, method: str = "GET", **headers: str) -> tuple[int, dict[str, str], bytes]:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=10)
        try:
            connection.putrequest(method, path, skip_host=True)
            for name, value in ({"Host": f"127.0.0.1:{self.port}"} | headers).items():
                connection.putheader(name, value)
            connection.endheaders()
            response = connection.getresponse()
            return response.status, dict(response.getheaders()), response.read()
        finally:
            connection.close()


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    made = Bench(tmp_path)
    thread = threading.Thread(target=made.server.serve_forever, kwargs={"poll_interval": 0.01})
    thread.start()
    yield made
    made.server.shutdown()
    made.server.server_close()
    thread.join()


def test_pages_come_with_their_type_and_unchanged(bench: Bench):
    """Types follow the suffix (RFC 9110; text/javascript by RFC 9239); only pages carry the script that reloads them."""
    bench.preview.rebuild()
    for path, kind in (
        ("/index.html", "text/html; charset=utf-8"),
        ("/clock/train.svg", "image/svg+xml"),
        ("/static/player.js?v=1", "text/javascript; charset=utf-8"),
        ("/static/site.css", "text/css; charset=utf-8"),
        ("/data.bin", "application/octet-stream"),
    ):
        status, headers, content = bench.ask(path)
        assert (status, headers["Content-Type"]) == (200, kind)
        assert headers["X-Content-Type-Options"] == "nosniff"
        own = SITE[path[1:].partition("?")[0]]
        assert (content == own) is not path.endswith(".html")
        assert bench.ask(path, "HEAD")[2] == b""
        assert bench.ask(path, "HEAD")[1]["Content-Length"] == str(len(content))
    script = f'<script src="/_preview/reload.js?{bench.preview.version}" defer></script></head>'.encode()
    assert bench.ask("/")[2] == PAGE.replace(b"</head>", script)
    assert bench.ask("/clock/embed.html")[2] == STRICT
    assert bench.preview.site["index.html"] == PAGE


def test_a_folder_shows_its_index(bench: Bench):
    """A folder without its last stroke is sent on, so that relative links in it are right."""
    bench.preview.rebuild()
    assert bench.ask("/clock/")[0] == 200
    status, headers, _ = bench.ask("/clock")
    assert (status, headers["Location"]) == (302, "/clock/")
    assert not bench.ask("//clock")[1].get("Location", "/").startswith("//"), "another host's address"


@pytest.mark.parametrize(
    "path",
    [
        "/../secret",
        "/clock/../../secret",
        "/%2e%2e/secret",
        "/..%2fsecret",
        "//secret",
        "/clock/..%5c..%5csecret",
        "/static",
        "file:///secret",
        "/index.html/",
        "/\0",
    ],
)
def test_nothing_but_the_site_is_reached(bench: Bench, path: str):
    """Answers come from memory: no spelling of a path reaches a file, even one beside the watched folder."""
    (bench.folder / "secret").write_text("secret")
    bench.preview.rebuild()
    connection = http.client.HTTPConnection("127.0.0.1", bench.port, timeout=10)
    connection._validate_path = lambda _: None  # type: ignore[method-assign]
    connection.request("GET", path)
    response = connection.getresponse()
    assert response.status in (400, 404)
    assert b"secret" not in response.read()
    connection.close()


def test_only_this_machine_by_its_own_name(bench: Bench):
    """It listens on the loopback address, and a name elsewhere that is made to point here (DNS rebinding) gets nothing."""
    bench.preview.rebuild()
    assert bench.server.server_address[0] == "127.0.0.1"
    assert bench.ask("/", Host=f"localhost:{bench.port}")[0] == 200
    for host in ("clock.example", f"clock.example:{bench.port}", "127.0.0.1", f"127.0.0.1:{bench.port + 1}", ""):
        status, _, content = bench.ask("/", Host=host)
        assert status == 421
        assert b"Home" not in content
    assert bench.ask("/")[1]["Cross-Origin-Resource-Policy"] == "same-origin"
    assert bench.ask("/", "POST")[0] == 501


def test_faults_are_listed_and_the_old_site_stays(bench: Bench):
    """A fault never takes the site away: its pages stay and list what is wrong, until the next sound build."""
    bench.preview.rebuild()
    bench.result = FaultsFound([Fault("movement.toml", 3, 1, "teeth", "<0>", "a whole number", "Count again.")])
    bench.preview.rebuild()
    assert b"<p>Home</p>" in bench.ask("/")[2]
    assert b"movement.toml:3:1: teeth = <0>: a whole number. Count again." in bench.ask("/_preview/reload.js")[2]
    assert bench.told == ["built", "movement.toml:3:1: teeth = <0>: a whole number. Count again."]
    bench.result = {**SITE, "index.html": b'<a href="gone.html">x</a>'}
    bench.preview.rebuild()
    assert b"<p>Home</p>" in bench.ask("/")[2]
    assert b"no such file" in bench.ask("/_preview/reload.js")[2]
    bench.result = SITE
    bench.preview.rebuild()
    assert b"faults = []" in bench.ask("/_preview/reload.js")[2]


def test_before_the_first_sound_build_every_page_lists_the_faults(bench: Bench):
    """There is no old site to show then; a mistake in the code is told with its place."""
    bench.result = ZeroDivisionError("division of <b>teeth</b>")
    bench.preview.rebuild()
    for path in ("/", "/clock/index.html"):
        status, _, content = bench.ask(path)
        assert status == 503
        assert b"ZeroDivisionError: division of &lt;b&gt;teeth&lt;/b&gt;" in content
        assert b"in build" in content
        assert b"/_preview/reload.js" in content


def test_a_change_is_seen_and_told_to_the_page(bench: Bench):
    """A file that is added, changed or removed builds again, and the held-back answer goes out at once."""
    (bench.folder / "models").mkdir()
    file = bench.folder / "models" / "movement.toml"
    bench.preview.rebuild()
    stop = threading.Event()
    watching = threading.Thread(target=bench.preview.watch, args=(stop, 0.01))
    watching.start()
    try:
        for change in (lambda: file.write_text("a"), lambda: os.utime(file, (1, 1)), file.unlink):
            version, builds = bench.preview.version, bench.builds
            answers: list[bytes] = []
            page = threading.Thread(target=lambda v=version, to=answers: to.append(bench.ask(f"/_preview/changes.js?{v}")[2]))
            page.start()
            change()
            page.join(5)
            assert answers == [f'betweenPlatesVersion("{bench.preview.version}");\n'.encode()]
            assert bench.preview.version != version
            assert bench.builds > builds
        builds = bench.builds
        assert not stop.wait(0.1)
        assert bench.builds == builds, "nothing changed, nothing built"
    finally:
        stop.set()
        watching.join()


def test_nothing_is_held_back_for_a_page_that_is_old(bench: Bench):
    """A page of an earlier build, or of an earlier preview, is told so at once."""
    bench.preview.rebuild()
    assert bench.preview.version.encode() in bench.ask("/_preview/changes.js?1")[2]
    assert bench.preview.version_after(bench.preview.version, 0.01) == bench.preview.version


def test_code_is_read_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """After `fresh`, an import runs the files as they are now, those of inner modules too, and no other package is forgotten."""
    monkeypatch.syspath_prepend(tmp_path)
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    for package in ("tooth_a", "tooth_ab"):
        (tmp_path / package).mkdir()
        (tmp_path / package / "__init__.py").write_text("")
        (tmp_path / package / "inner.py").write_text("LEAVES = 6")
        assert import_module(f"{package}.inner").LEAVES == 6
        (tmp_path / package / "inner.py").write_text("LEAVES = 12")
    fresh("tooth_a")
    assert import_module("tooth_a.inner").LEAVES == 12
    assert import_module("tooth_ab.inner").LEAVES == 6
    fresh("tooth_a")
    fresh("tooth_ab")


def test_serve_tells_where_and_ends_when_interrupted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """The address is told after the first build; Ctrl-C ends it without a word; a port in use is said so."""
    told: list[str] = []

    def interrupted(self, poll_interval: float = 0.5) -> None:
        with pytest.raises(PortError, match=f"Port {self.server_port} is in use already. Name another"):
            server(Preview(lambda: SITE, []), self.server_port)
        raise KeyboardInterrupt

    monkeypatch.setattr("http.server.ThreadingHTTPServer.serve_forever", interrupted)
    serve(lambda: SITE, 0, [tmp_path], told.append)
    assert told[1] == "built"
    assert told[2].startswith("http://127.0.0.1:")


def test_every_file_of_the_site_has_a_type(built_site):
    """No file of the demo site is sent as unknown bytes, but those that hosts read and readers do not open."""
    unknown = {path for path in built_site.files if Path(path).suffix not in TYPES}
    assert unknown <= {".nojekyll", "_headers"}
