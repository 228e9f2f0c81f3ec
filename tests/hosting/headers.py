"""What a host sends with the pages, beside what it should.

    make headers                          the site built here, served on this machine as its file _headers says
    make headers ADDRESS=https://…/       a site that is there already

The policy that keeps pages from asking anything of anybody stands in each page, since not every host can send headers; what
only a host can say is listed here. Ends with 1 where something that matters is missing or wrong.
"""

from __future__ import annotations

import sys
import threading
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[2]

SORTS = {
    "index.html": "text/html",
    "static/site.css": "text/css",
    "static/player.js": "text/javascript",
    "static/favicon.svg": "image/svg+xml",
}
"""Files that every site has, and what they have to be called: with nosniff a browser believes nothing else (HTML, MIME types)."""

WANTED = {
    "X-Content-Type-Options": ("nosniff", "the browser takes a file for what it is called"),
    "Referrer-Policy": ("no-referrer", "other sites are not told from which page a reader came"),
    "Permissions-Policy": ("camera=()", "no page, not even a framed one, can ask for camera, microphone or place"),
}
"""Header → (what it has to hold, why)."""

UNWANTED = {
    "X-Frame-Options": "drawings are there to be put into other people's pages",
    "Set-Cookie": "the site remembers nothing about anybody",
    "Access-Control-Allow-Credentials": "nothing here is anybody's own",
}


class Wrong(str):
    """Something that matters."""


def looked_at(address: str) -> Iterator[str]:
    """What is right and what is wrong, a sentence each."""
    base = address.rstrip("/")
    for path, sort in SORTS.items():
        with urllib.request.urlopen(f"{base}/{path}", timeout=20) as answer:
            told = answer.headers
        called = told.get_content_type()
        same = called == sort or (sort == "text/javascript" and called == "application/javascript")
        yield f"{path} is called {sort}" if same else Wrong(f"{path} is called {called}; it has to be {sort}")
        if path == "index.html":
            for name, (value, why) in WANTED.items():
                here = told.get(name)
                yield f"{name}: {here}" if here and value in here else Wrong(f"{name} should hold {value}: {why}; sent: {here}")
            for name, why in UNWANTED.items():
                if name in told:
                    yield Wrong(f"{name} should not be sent: {why}")
            if address.startswith("https:"):
                here = told.get("Strict-Transport-Security")
                yield f"Strict-Transport-Security: {here}" if here else Wrong("Strict-Transport-Security is missing")
    try:
        urllib.request.urlopen(f"{base}/no/such/page", timeout=20).close()
    except urllib.error.HTTPError as error:
        page = error.read()
        own = b"Content-Security-Policy" in page
        yield "an address that is none has the site's own page" if own and error.code == 404 else Wrong("404.html is not shown")
    else:
        yield Wrong("an address that is none is answered as if it were one")


def rules(text: str) -> list[tuple[str, str, str]]:
    """(path pattern, header, value) of a _headers file."""
    found, pattern = [], ""
    for line in text.splitlines():
        if line[:1].isspace():
            name, _, value = line.strip().partition(": ")
            found.append((pattern, name, value))
        else:
            pattern = line.strip()
    return found


class Host(SimpleHTTPRequestHandler):
    """A plain host that reads _headers and shows 404.html."""

    extensions_map = {**SimpleHTTPRequestHandler.extensions_map, ".js": "text/javascript", ".svg": "image/svg+xml"}  # noqa: RUF012
    obeys = True

    def end_headers(self) -> None:
        for pattern, name, value in rules((Path(self.directory) / "_headers").read_text()) if self.obeys else []:
            if self.path.startswith(pattern.removesuffix("*")):
                self.send_header(name, value)
        super().end_headers()

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        page = (Path(self.directory) / "404.html").read_bytes()
        self.send_response(code)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.end_headers()
        self.wfile.write(page)

    def log_message(self, format: str, *details: object) -> None:
        """Nothing."""


@contextmanager
def hosted(folder: Path, host: type[Host] = Host) -> Iterator[str]:
    """The address of a folder served on this machine."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(host, directory=str(folder)))
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


def report(address: str) -> int:
    said = list(looked_at(address))
    for each in said:
        print(("WRONG  " if isinstance(each, Wrong) else "right  ") + each)
    return int(any(isinstance(each, Wrong) for each in said))


if __name__ == "__main__":
    if len(sys.argv) > 1:
        sys.exit(report(sys.argv[1]))
    with hosted(PROJECT / "site") as here:
        sys.exit(report(here))
