"""The site while its files are being written: on this machine only, built again and reloaded when a file changes.

Pages are answered from memory, so no address reaches a file. The script that reloads a page is added on the way out and
is never part of the site. While there are faults, the last sound site stays and each of its pages lists them.
"""

from __future__ import annotations

import contextlib
import errno
import html
import json
import posixpath
import sys
import threading
import time
import traceback
from collections.abc import Callable, Sequence
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import quote, unquote, urlsplit

from builder.ground.faults import PlainlySaid
from builder.linkcheck import Site, check_links

Build = Callable[[], Site]
Told = Callable[[str], None]

TYPES = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".webmanifest": "application/manifest+json",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".jpeg": "image/jpeg",
    ".webp": "image/webp",
    ".woff2": "font/woff2",
    ".pdf": "application/pdf",
    ".zip": "application/zip",
    ".xml": "application/xml",
    ".csv": "text/csv; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
}
"""By suffix, and not by what this machine happens to know; anything else is application/octet-stream."""

HELD_S = 25.0
"""How long the answer about changes is held back while nothing changes."""

RELOAD = """(function () {
  // Changes are asked for with script elements: the content security policy of the pages allows no other request.
  var seen = document.currentScript.src.split("?")[1], faults = %s;
  window.betweenPlatesVersion = function (version) {
    if (version === seen) ask(); else location.reload();
  };
  function ask() {
    var script = document.createElement("script");
    script.src = "/_preview/changes.js?" + seen;
    script.onload = function () { script.remove(); };
    script.onerror = function () { script.remove(); setTimeout(ask, 1000); };
    document.head.append(script);
  }
  function add(parent, name, text) {
    var made = parent.appendChild(document.createElement(name));
    if (text) made.textContent = text;
    return made;
  }
  function tell() {
    var box = add(document.body, "details");
    add(box, "summary", "Not built again. Faults: " + faults.length);
    var list = add(box, "ul");
    faults.forEach(function (fault) { add(list, "li", fault); });
    Object.assign(box.style, { position: "fixed", inset: "auto 0 0 0", zIndex: 99, padding: "0.5rem 1rem",
      maxHeight: "50vh", overflow: "auto", background: "Canvas", color: "CanvasText", borderTop: "3px solid" });
  }
  window.addEventListener("load", function () { if (faults.length && !document.querySelector("[data-faults]")) tell(); ask(); });
})();
"""


class Preview:
    """The last sound site, what is wrong with the files since, and a version that changes with every build.

    `told` hears of every build. Nothing is built before the first `rebuild`.
    """

    def __init__(self, build: Build, watched: Sequence[Path], told: Told = lambda _: None) -> None:
        self.site: Site = {}
        self.faults: tuple[str, ...] = ()
        self.version = "0"
        self._build, self._watched, self._told = build, tuple(watched), told
        self._seen: dict[Path, tuple[int, int]] = {}
        self._changed = threading.Condition()

    def rebuild(self) -> None:
        """Build now. Whatever goes wrong becomes the list of faults, and the last sound site stays."""
        self._seen = self._look()
        site: Site = {}
        faults: Sequence[str]
        try:
            site = self._build()
            faults = check_links(site)
        except Exception as error:
            faults = _faults_of(error)
        with self._changed:
            self.site, self.faults = (self.site if faults else site), tuple(faults)
            self.version = str(time.time_ns())
            self._changed.notify_all()
        self._told("\n".join(faults) or "built")

    def watch(self, stop: threading.Event, every_s: float = 0.5) -> None:
        """Build again whenever a watched file was added, changed or removed, until `stop` is set."""
        while not stop.wait(every_s):
            if self._look() != self._seen:
                self.rebuild()

    def version_after(self, version: str, longest_s: float = HELD_S) -> str:
        """The present version, as soon as it is not `version` or `longest_s` have passed."""
        with self._changed:
            self._changed.wait_for(lambda: self.version != version, longest_s)
            return self.version

    def _look(self) -> dict[Path, tuple[int, int]]:
        seen = {}
        for path in (path for folder in self._watched for path in folder.rglob("*")):
            with contextlib.suppress(OSError):  # gone since it was listed
                if path.suffix != ".pyc" and not path.is_dir():
                    seen[path] = (path.stat().st_mtime_ns, path.stat().st_size)
        return seen


def serve(build: Build, port: int, watched: Sequence[Path], told: Told = lambda _: None) -> None:
    """Show the site on this machine until interrupted. `told` hears the address, and after each build its faults.

    Raises PortError where the port cannot be had. `build` finds changed code only if it imports it anew: see `fresh`.
    """
    preview = Preview(build, watched, told)
    with server(preview, port) as listening:
        told("Building; the first time that takes a while …")
        preview.rebuild()
        stop = threading.Event()
        threading.Thread(target=preview.watch, args=(stop,), daemon=True).start()
        told(f"http://127.0.0.1:{listening.server_port}/ (Ctrl-C ends it)")
        with contextlib.suppress(KeyboardInterrupt):
            listening.serve_forever()
        stop.set()


class PortError(PlainlySaid):
    """Why nothing can be shown at a port."""


def server(preview: Preview, port: int) -> ThreadingHTTPServer:
    """A server of the preview at 127.0.0.1, not yet running. Port 0 is any that is free. Raises PortError."""

    class Handler(_Handler):
        shown = preview

    try:
        return ThreadingHTTPServer(("127.0.0.1", port), Handler)
    except PermissionError:
        why = f"Port {port} is kept for the machine's own services"
    except OSError as error:
        taken = error.errno == errno.EADDRINUSE
        why = f"Port {port} is in use already" if taken else f"Port {port} cannot be had ({error.strerror or error})"
    raise PortError(f"{why}. Name another with --port, or 0 for any that is free.")


def fresh(package: str) -> None:
    """Forget the modules of a package, so that the next import reads its files as they are now."""
    for name in [name for name in sys.modules if name == package or name.startswith(package + ".")]:
        del sys.modules[name]


class _Handler(BaseHTTPRequestHandler):
    shown: Preview
    server: ThreadingHTTPServer
    server_version, sys_version = "BetweenPlates", ""
    timeout = 60

    def do_GET(self) -> None:
        """Answer from memory."""
        port = self.server.server_port
        # A page elsewhere that has its own name point at this machine still sends that name here.
        if self.headers.get_all("Host") not in ([f"127.0.0.1:{port}"], [f"localhost:{port}"]):
            self._send(HTTPStatus.MISDIRECTED_REQUEST, "text/plain", b"This preview answers to 127.0.0.1 and localhost only.\n")
            return
        try:
            address = urlsplit(self.path)
        except ValueError:
            self._send(HTTPStatus.BAD_REQUEST, "text/plain", b"No such address.\n")
            return
        path = unquote(address.path).removeprefix("/")
        if path == "_preview/changes.js":
            version = self.shown.version_after(address.query)
            self._send(HTTPStatus.OK, TYPES[".js"], f"betweenPlatesVersion({json.dumps(version)});\n".encode())
        elif path == "_preview/reload.js":
            self._send(HTTPStatus.OK, TYPES[".js"], (RELOAD % json.dumps(self.shown.faults)).encode())
        else:
            self._page(path)

    def do_HEAD(self) -> None:
        """The same without the content."""
        self.do_GET()

    def _page(self, path: str) -> None:
        site, faults = self.shown.site, self.shown.faults
        if not site:
            self._send(HTTPStatus.SERVICE_UNAVAILABLE, TYPES[".html"], self._reloading(_fault_page(faults)))
            return
        if path and not path.endswith("/") and f"{path}/index.html" in site:
            self._send(HTTPStatus.FOUND, "text/plain", b"", location=f"/{quote(path)}/")
            return
        status = HTTPStatus.OK
        if path == "" or path.endswith("/"):
            path += "index.html"
        if path not in site:
            status, path = HTTPStatus.NOT_FOUND, "404.html"
        content = site.get(path, b"<!doctype html><title>Not found</title><p>No such page.\n")
        kind = TYPES.get(posixpath.splitext(path)[1], "application/octet-stream")
        self._send(status, kind, self._reloading(content) if path.endswith(".html") else content)

    def _reloading(self, page: bytes) -> bytes:
        """The page with the reloading script, unless its own policy would not let the script run."""
        if b"Content-Security-Policy" in page and b"script-src 'self'" not in page:
            return page
        script = f'<script src="/_preview/reload.js?{self.shown.version}" defer></script>'.encode()
        head, end, rest = page.partition(b"</head>")
        return head + script + end + rest

    def _send(self, status: HTTPStatus, kind: str, content: bytes, location: str = "") -> None:
        with contextlib.suppress(ConnectionError):  # the reader has gone on
            self.send_response(status)
            self.send_header("Content-Type", kind)
            self.send_header("Content-Length", str(len(content)))
            self.send_header("Cache-Control", "no-store")
            self.send_header("X-Content-Type-Options", "nosniff")
            self.send_header("Cross-Origin-Resource-Policy", "same-origin")
            if location:
                self.send_header("Location", location)
            self.end_headers()
            if self.command != "HEAD":
                self.wfile.write(content)

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing: what there is to say is told with each build."""


def _fault_page(faults: Sequence[str]) -> bytes:
    items = "".join(f"<li><code>{html.escape(fault)}</code>\n" for fault in faults)
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><meta name="color-scheme" content="light dark">'
        f"<title>Not built</title></head><body><h1>Not built</h1><p>Faults: {len(faults)}</p>"
        f"<ul data-faults>\n{items}</ul></body></html>\n"
    ).encode()


def _faults_of(error: Exception) -> list[str]:
    """What the builder's own errors say, line by line; of any other error, a mistake in the code, also where."""
    if type(error).__module__.startswith("builder."):
        return str(error).splitlines()
    said = "".join(traceback.format_exception_only(error)).splitlines()
    frames = traceback.extract_tb(error.__traceback__)[:-4:-1]
    return [*said, *(f"{frame.filename}:{frame.lineno} in {frame.name}" for frame in frames)]
