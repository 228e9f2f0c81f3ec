"""What a host of the site looks for: a page for addresses that are none, headers, and the list of all pages."""

from __future__ import annotations

from collections.abc import Iterable

from builder.pages.press import Press
from builder.pages.render import render

HEADERS = b"""/*
  X-Content-Type-Options: nosniff
  Referrer-Policy: no-referrer
  Permissions-Policy: camera=(), microphone=(), geolocation=()
/static/*
  Cache-Control: public, max-age=3600
"""
"""For hosts that read such a file. No X-Frame-Options: the drawings are there to be embedded."""


def hosting(press: Press) -> dict[str, bytes]:
    """All but the list of pages."""
    collection, say = press.collection, press.wording.say
    words = {key: say(f"site.missing.{key}") for key in ("title", "sentence", "home_label")}
    missing = render(
        press.env, "404.html.jinja", lang=collection.language, site_name=say("site.name"), home=collection.base_url,
        publisher=collection.publisher, licence=press.frame["licence"], **words,
    )  # fmt: skip
    return {"404.html": missing, ".nojekyll": b"", "_headers": HEADERS}


def sitemap(paths: Iterable[str], press: Press) -> dict[str, bytes]:
    """The list of those of the site's `paths` that are pages; nothing for a site that has no address."""
    if not press.collection.base_url:
        return {}
    start = press.collection.base_url.rstrip("/")
    pages = "".join(
        f"<url><loc>{start}/{path}</loc></url>\n"
        for path in sorted(paths)
        if path.endswith(".html") and path != "404.html" and "/embed/" not in path and not path.endswith("/lesson.html")
    )
    text = (
        '<?xml version="1.0" encoding="UTF-8"?>\n<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">\n'
        f"{pages}</urlset>\n"
    )
    return {"sitemap.xml": text.encode()}
