"""Every link leads somewhere inside the site, also from disk; each rule has a site that breaks it.

What browsers do with files on disk (module scripts, integrity, external <use>) was measured in Chromium, Firefox and
WebKit; what asks another machine follows from the URL standard (scheme-relative and absolute addresses).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.linkcheck import check_folder, check_links

HEAD = '<!doctype html><html lang="en"><head><title>t</title><link rel="stylesheet" href="{up}static/site.css"></head>'
SOUND = {
    "index.html": (
        HEAD.format(up="")
        + '<body><main id="main"><a href="#main">skip</a><a href="#top">up</a><a href="clock/train.html#third">third</a>'
        '<a href="clock/train.html?t=30#main">later</a><img src="clock/train.svg" srcset="clock/train.svg 1x, clock/train.svg 2x"'
        ' alt="">'
        '<img src="data:image/gif;base64,R0lGODlhAQABAAAAACw=" alt=""><a rel="external noreferrer" href="https://example.org/paper">'
        "source</a><label for=q>Teeth</label><input id=q aria-describedby='main'>"
        "<p>&lt;a href='nowhere.html'&gt; as text</p><!-- <a href='nowhere.html'> -->"
        "<script>const SVG = 'http://www.w3.org/2000/svg'; const half = '<a href=\"nowhere.html\">';</script>"
        '<script type="application/json">{"note": "https://example.org/ in words"}</script></body></html>'
    ),
    "clock/train.html": (
        HEAD.format(up="../") + '<body><main id="main"><svg><g id="third" fill="url(#brass)"/><linearGradient id="brass"/>'
        '<use href="#third"/></svg><a href="../index.html">home</a><a href="train.svg#barrel">drawing</a>'
        '<object data="train.svg"></object><iframe src="../index.html" title="x"></iframe></main></body></html>'
    ),
    "clock/train.svg": (
        '<svg xmlns="http://www.w3.org/2000/svg"><style>.a{fill:url("#steel")}</style><linearGradient id="steel"/>'
        '<g id="barrel"/></svg>'
    ),
    "static/site.css": "@font-face{src:url('face.woff2')} /* url(nowhere.png) */ body{background:url(../clock/train.svg)}",
    "static/face.woff2": "",
    ".nojekyll": "",
    "404.html": '<!doctype html><link rel="canonical" href="https://clock.example/"><a href="https://clock.example/">home</a>',
    "app.webmanifest": '{"start_url": "index.html", "icons": [{"src": "clock/train.svg"}]}',
}


def site(**changed: str) -> dict[str, bytes]:
    """The sound site with some files changed or added; dots and slashes in names are written __ and _in_."""
    files = SOUND | {name.replace("_in_", "/").replace("__", "."): text for name, text in changed.items()}
    return {path: text.encode() for path, text in files.items()}


def page(body: str) -> dict[str, bytes]:
    return site(page__html=HEAD.format(up="") + f"<body>\n{body}</body></html>")


def test_a_sound_site_has_no_faults():
    """Relative links, fragments, data images, cited sources, examples in text, comments and scripts are all allowed."""
    assert check_links(site()) == []


@pytest.mark.parametrize(
    ("body", "fault"),
    [
        ('<a href="gone.html">x</a>', "no such file"),
        ('<a href="clock/train.html#fourth">x</a>', "no id 'fourth' in clock/train.html"),
        ('<a href="clock/train.svg#fusee">x</a>', "no id 'fusee' in clock/train.svg"),
        ('<a href="#nowhere">x</a>', "no id 'nowhere'"),
        ('<a href="Clock/train.html">x</a>', "differs in capitals from clock/train.html"),
        ('<a href="clock/">x</a>', "names a folder"),
        ('<a href="clock">x</a>', "names a folder"),
        ('<a href=".">x</a>', "names a folder"),
        ('<a href="index.html/">x</a>', "no such file"),
        ('<a href="">x</a>', "is empty"),
        ('<a href="/index.html">x</a>', "root of a host"),
        ('<a href="../index.html">x</a>', "leads out of the site"),
        ('<a href="clock/../../x.html">x</a>', "leads out of the site"),
        ('<a href="%2e%2e/x.html">x</a>', "leads out of the site"),
        ('<a href="https://example.org/">x</a>', 'rel="external"'),
        ('<a rel="external" href="http://example.org/">x</a>', "asks another"),
        ('<a rel="external" href="//example.org/">x</a>', "asks another"),
        ('<a rel="external" href="\\\\example.org/">x</a>', "asks another"),
        ('<a href="javascript:alert(1)">x</a>', "asks another"),
        ('<a href="mailto:a@example.org">x</a>', "asks another"),
        ('<a href="data:text/html,x">x</a>', "asks another"),
        ('<a href="file:///etc/hosts">x</a>', "asks another"),
        ('<a href="http://[bad">x</a>', "no address"),
        ('<a href="index.html" ping="https://example.org/">x</a>', "asks another"),
        ('<link rel="canonical stylesheet" href="https://example.org/a.css">', "asks another"),
        ('<link rel="preconnect" href="https://example.org">', "asks another"),
        ('<img rel="external" src="https://example.org/a.png" alt="">', "asks another"),
        ('<img src="a.png" alt="">', "no such file"),
        ('<img srcset="clock/train.svg 1x, b.png 2x" alt="">', "b.png"),
        ('<video poster="c.png"></video>', "c.png"),
        ('<source src="d.webm">', "d.webm"),
        ('<object data="e.svg"></object>', "e.svg"),
        ('<iframe src="f.html" title=""></iframe>', "f.html"),
        ('<iframe srcdoc="x" title=""></iframe>', "changes where links lead"),
        ('<form action="https://example.org/"></form>', "asks another"),
        ('<base href="index.html">', "changes where links lead"),
        ('<meta http-equiv="refresh" content="0; url=gone.html">', "gone.html"),
        ('<link rel="manifest" href="gone.webmanifest">', "gone.webmanifest"),
        ('<svg><use href="#gone"/></svg>', "no id 'gone'"),
        ('<svg><use href="clock/train.svg#barrel"/></svg>', "do not follow this"),
        ('<svg><path fill="url(#gone)"/></svg>', "no id 'gone'"),
        ('<svg><path fill="url(clock/train.svg#steel)"/></svg>', "do not follow this"),
        ('<svg><image xlink:href="g.png"/></svg>', "g.png"),
        ('<p style="background:url(h.png)">', "h.png"),
        ("<style>p{background:url( 'i.png' )}</style>", "i.png"),
        ('<style>@import "https://example.org/a.css";</style>', "asks another"),
        ("<script>load('https://example.org/a.js')</script>", "names another machine"),
        ("<script>load('//example.org/a.js')</script>", "names another machine"),
        ('<script type="module" src="static/site.css"></script>', "module script"),
        ('<script integrity="sha256-x" src="static/site.css"></script>', "integrity"),
        ('<p id="a"></p><svg><g id="a"/></svg>', "'a' stands twice"),
        ('<label for="gone">x</label>', "names 'gone', no id here"),
        ('<p aria-labelledby="gone">x</p>', "names 'gone', no id here"),
        ('<img usemap="#m" src="clock/train.svg" alt="">', "image maps"),
    ],
)
def test_each_fault_is_found(body: str, fault: str):
    """A page that breaks one rule has one fault, said with its page and line."""
    faults = check_links(page(body))
    assert len(faults) == 1, faults
    assert fault in faults[0]
    assert faults[0].startswith("page.html:2: ")


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        ({"a__css": "\n\nb{background:url(x.png)}"}, "a.css:3: url() 'x.png': no such file"),
        ({"a__css": "@import 'https://example.org/x.css'"}, "asks another"),
        ({"a__js": "\nfetch('https://example.org')"}, "a.js:2: the script names another machine: https://example.org"),
        ({"a__svg": '<svg><a href="gone.html"/></svg>'}, "no such file"),
        ({"a__svg": "<svg><style>\n</style>\n<style>\np{fill:url(#gone)}</style></svg>"}, "a.svg:4: "),
        ({"a__svg": '<svg><g id="a"/><g id="a"/></svg>'}, "stands twice"),
        ({"a__svg": "<svg><g></svg>"}, "not well-formed"),
        ({"a__svg": '<!DOCTYPE svg [<!ENTITY a "aaaa">]><svg>&a;</svg>'}, "has a doctype"),
        ({"a__webmanifest": '{"icons": [{"src": "gone.png"}]}'}, "no such file"),
        ({"a__webmanifest": '{"icons": '}, "is not JSON"),
        ({"Index__html": ""}, "differs from Index.html only in capitals"),
        ({"static": ""}, "a file and a folder at once"),
    ],
)
def test_faults_outside_pages_are_found(changed: dict[str, str], fault: str):
    """Style sheets, scripts, drawings, manifests and the paths themselves are checked too."""
    faults = check_links(site(**changed))
    assert len(faults) == 1, faults
    assert fault in faults[0]


@pytest.mark.parametrize(
    "path", ["", "/a", "../a", "a/../b", "a//b", "a\\b", "a/", ".", "..hidden", "a/..", "a b", "c:x", "a\n", "ä"]
)
def test_paths_that_some_disk_cannot_hold_are_refused(path: str):
    """A path is plain enough for every file system and every address, and cannot leave the site."""
    assert any("a path of the site is made of names" in fault for fault in check_links({path: b""}))


def test_bytes_that_are_no_text_are_named():
    """A page that is not UTF-8 is a fault, not a crash."""
    assert check_links({"a.html": b"\xff\xfe"}) == ["a.html: is not UTF-8"]


def test_a_folder_on_disk_is_checked_without_its_hidden_files(tmp_path: Path):
    """What lies in the folder is what is checked; the marker and .gitignore are no part of the site."""
    for path, content in page('<a href="gone.html">x</a>').items():
        (tmp_path / path).parent.mkdir(exist_ok=True)
        (tmp_path / path).write_bytes(content)
    (tmp_path / ".gitignore").write_text("*")
    assert check_folder(tmp_path) == ["page.html:2: <a> href 'gone.html': no such file"]
    (tmp_path / "page.html").unlink()
    assert check_folder(tmp_path) == []
    assert check_folder(tmp_path / "clock" / "nothing")
