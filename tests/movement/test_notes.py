"""Notes: what a person may write, and what is refused with its place. Columns are counted by hand."""

import re
import time
from html.parser import HTMLParser
from pathlib import Path, PurePosixPath

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builder.ground.faults import Fault, FaultsFound
from builder.movement.notes import Notes, dead_links, read_notes
from builder.movement.pictures import LARGEST_BYTES, Unfit, picture

PNG = b"\x89PNG\r\n\x1a\n" + b"\0" * 8
JPEG = b"\xff\xd8\xff\xe0" + b"\0" * 12
WEBP = b"RIFF\x10\x00\x00\x00WEBPVP8 "


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A movement's folder with pictures, within a root that holds something of somebody else's."""
    here = tmp_path / "models" / "hall_clock"
    (here / "pictures").mkdir(parents=True)
    (here / "pictures" / "wheel.png").write_bytes(PNG)
    (here / "pictures" / "the-case.jpg").write_bytes(JPEG)
    (here / "dial.webp").write_bytes(WEBP)
    (tmp_path / "models" / "private.png").write_bytes(PNG)
    return here


def noted(folder: Path, text: str, pictures_at: str = "") -> Notes:
    path = folder / "notes.md"
    path.write_bytes(text.encode())
    return read_notes(path, folder.parents[1], pictures_at)


def faults(folder: Path, text: str) -> list[Fault]:
    with pytest.raises(FaultsFound) as caught:
        noted(folder, text)
    return list(caught.value.faults)


def places(folder: Path, text: str) -> list[tuple[int, int, str]]:
    return [(fault.line, fault.column, fault.value) for fault in faults(folder, text)]


def test_a_path_out_of_the_folder_is_that_first_of_all(folder: Path) -> None:
    """Whatever sort of file it names: nobody is told to save the collection as PNG."""
    found = picture(folder, "pictures/../../collection.toml")
    assert isinstance(found, Unfit) and found.advice.startswith("The path leads out of this folder")


def test_links_to_pages_that_are_not_there(folder: Path) -> None:
    """A link into the movement's own folder that leads nowhere is told at its place in the notes, with the name meant."""
    links = "[a](train.html#great) [b](./) [c](../compare.html) [d](https://example.org/x.html) [e](#part)"
    (folder / "notes.md").write_text(f"{links}\n\nSee [f](trian.html), [g](repairs/none.html) and [h](train.html?x=1).\n")
    found = dead_links(folder / "notes.md", folder.parent, {".", "index.html", "train.html"})
    assert [(fault.line, fault.column, fault.value) for fault in found] == [(3, 9, "trian.html"), (3, 26, "repairs/none.html")]
    assert found[0].advice == "Did you mean train.html?"
    (folder / "notes.md").write_text(links)
    assert dead_links(folder / "notes.md", folder.parent, {".", "train.html"}) == []


def test_markdown_as_people_write_it(folder: Path) -> None:
    """Emphasis, lists, tables, code, links, the few tags, characters of all sorts; headings one below another."""
    text = """# The case
#### Its back
Oak, *not* pine; H<sub>2</sub>O & 3 < 4.
See [the standard](https://example.org/a?b=1&c=2 "ISO") or [the next](../shelf/index.html#train).

| part | mm |
|:-----|---:|
| rod  | 994 |

3. three
4. four

```toml
a = "<script>"
```
## The dial
<!-- a remark to myself -->
"""
    html = noted(folder, text.replace("\n", "\r\n")).html
    assert re.findall(r"<h\d>.*?</h\d>", html) == ["<h3>The case</h3>", "<h4>Its back</h4>", "<h4>The dial</h4>"]
    for piece in (
        "<em>not</em>",
        "H<sub>2</sub>O &amp; 3 &lt; 4.",
        '<a href="https://example.org/a?b=1&amp;c=2" title="ISO">the standard</a>',
        '<a href="../shelf/index.html#train">the next</a>',
        '<th scope="col" style="text-align:right">mm</th>',
        '<ol start="3">',
        '<code class="language-toml">a = "&lt;script&gt;"\n</code>',
    ):
        assert piece in html
    assert "remark" not in html


def test_pictures_are_named_once_in_their_order(folder: Path) -> None:
    """Each picture's path is given once, put under the wanted folder, and written as an address."""
    text = "![dial](dial.webp)\n![case](<pictures/the-case.jpg>) ![case](./pictures/the%2Dcase.jpg)\n![wheel][w]\n"
    text += "\n[w]: pictures/wheel.png"
    notes = noted(folder, text, "shots/")
    assert notes.pictures == (
        PurePosixPath("dial.webp"),
        PurePosixPath("pictures/the-case.jpg"),
        PurePosixPath("pictures/wheel.png"),
    )
    sources = re.findall(r'src="(.*?)"', notes.html)
    assert sources == ["shots/dial.webp", *["shots/pictures/the-case.jpg"] * 2, "shots/pictures/wheel.png"]


def test_every_offence_of_a_file_at_once(folder: Path) -> None:
    """Scripts, script links and pictures from outside are told together, each with its place; code samples are not."""
    text = """# Notes
A [link](javascript:alert(1)) and ![a picture](../private.png).

```
<script>
```
<script>alert(1)</script>

![case](pictures/the-case.jpg) [x][1] [y][1]

[1]: data:text/html,x
A <span class="x">b</span> <sub onclick="f()">c</sub> ![](dial.webp)
"""
    found = faults(folder, text)
    assert [(fault.line, fault.column, fault.value) for fault in found] == [
        (2, 10, "javascript:alert(1)"),
        (2, 48, "../private.png"),
        (7, 1, "<script>"),
        (11, 6, "data:text/html,x"),
        (12, 3, "<span>"),
        (12, 33, 'onclick="f()"'),
        (12, 59, "![](dial.webp)"),
    ]
    assert all(fault.file == "models/hall_clock/notes.md" and fault.allowed and fault.advice for fault in found)


@pytest.mark.parametrize(
    "link",
    [
        "[x](javascript:alert(1))",
        "[x](JavaScript:alert(1))",
        "[x](java&#115;cript:alert(1))",
        "[x](javascript&colon;alert(1))",
        "[x](javascript\\:alert(1))",
        "[x](<java\tscript:alert(1)>)",
        "[x](&#1;javascript:alert(1))",
        "[x](vbscript:f)",
        "[x](data:text/html;base64,PHM+)",
        "[x](file:///etc/passwd)",
        "[x](//host.example/a)",
        "[x](\\\\\\\\host.example/a)",
        "[x](/etc/passwd)",
        "[x](https:///a)",
        "[x](https://[a)",
        "[x]()",
        "<a href='javascript:f()'>x</a>",
        "<a HREF = javascript:f()>x</a>",
        "<a@b.example>",
        "[x][y]\n\n[y]: javascript:f()",
        "[![alt](dial.webp)](javascript:f())",
    ],
)
def test_links_that_are_refused(folder: Path, link: str) -> None:
    """Whatever the disguise, a link that runs a program or leaves the site unseen is a fault of its line."""
    (fault,) = faults(folder, f"First.\n\n> quoted\n\n{link}\n\nLast.")
    assert fault.line == (7 if "\n\n[y]" in link else 5)


@pytest.mark.parametrize(
    ("html", "value"),
    [
        ("<script src=x></script>", "<script>"),
        ("<SCRIPT>f()</SCRIPT>", "<script>"),
        ("<scr<script>ipt>", "<script>"),
        ("<img src=dial.webp alt=d onerror=f()>", 'onerror="f()"'),
        ("<svg/onload=f()>", "<svg>"),
        ("<iframe src=//host.example>", "<iframe>"),
        ("<style>p{}</style>", "<style>"),
        ("<sub style='position:fixed'>x</sub>", 'style="position:fixed"'),
        ("<sub id=x>x</sub>", 'id="x"'),
        ("<h1>x</h1>", "<h1>"),
        ("<?php f() ?>", "<?>"),
        ("<!DOCTYPE html>", "<!DOCTYPE>"),
        ("<math><mi//xlink:href='data:x,<script>f()</script>'>", "<math>"),
        ("x\n\n</p></sub>", "HTML that does not close"),
    ],
)
def test_html_that_is_refused(folder: Path, html: str, value: str) -> None:
    """Of HTML only a few tags without attributes may stand; all else is named, not dropped."""
    assert value in [fault.value for fault in faults(folder, f"First.\n\n{html}\n")]


@pytest.mark.parametrize(
    "path",
    [
        "../private.png",
        "%2e%2e/private.png",
        "pictures/../../private.png",
        "..\\private.png",
        "/models/private.png",
        "//host.example/a.png",
        "https://host.example/a.png",
        "file:dial.webp",
        "data:image/png;base64,AAAA",
        "none.png",
        "Dial.WEBP.webp",
        "pictures",
        "pictures.png",
        "drawing.svg",
        "page.png",
        "wheel.jpg",
        "big.png",
        "out.png",
        "loop.png",
        "dial.webp?x",
        "a%00.png",
        "the%20case.png",
        "a%22b.png",
        "caf\u00e9.png",
        "",
    ],
)
def test_pictures_that_are_refused(folder: Path, path: str) -> None:
    """Outside the folder by any way, missing, of another sort, mislabelled, too heavy, no file: refused with advice."""
    (folder / "pictures.png").mkdir()
    (folder / "drawing.svg").write_text("<svg/>")
    (folder / "page.png").write_text("<html>")
    (folder / "wheel.jpg").write_bytes(PNG)
    (folder / "big.png").write_bytes(PNG + b"\0" * LARGEST_BYTES)
    (folder / "out.png").symlink_to(folder.parent / "private.png")
    (folder / "loop.png").symlink_to(folder / "loop.png")
    found = picture(folder, path)
    assert isinstance(found, Unfit)
    assert found.allowed
    assert found.advice
    (fault,) = faults(folder, f"First.\n\n![a picture](<{path}>)\n")
    assert (fault.line, fault.allowed) == (3, found.allowed)


def test_each_sort_of_picture_is_taken(folder: Path) -> None:
    """PNG, JPEG and WebP of right content, in capitals too, and by a link that stays inside."""
    (folder / "A.JPEG").write_bytes(JPEG)
    (folder / "link.png").symlink_to(folder / "pictures" / "wheel.png")
    assert [str(picture(folder, path)) for path in ("dial.webp", "A.JPEG", "link.png")] == [
        "dial.webp",
        "A.JPEG",
        "pictures/wheel.png",
    ]


def test_the_same_offence_on_two_lines_has_two_places(folder: Path) -> None:
    """An offence that is repeated is told at each line, in disguise as well."""
    text = "[a](javascript:f())\n\ntext\n\n[b](javascript:f())\n\n- [c](java&#115;cript:f())"
    assert [(line, column) for line, column, _ in places(folder, text)] == [(1, 5), (5, 5), (7, 7)]


def test_notes_that_are_no_text(folder: Path) -> None:
    """Files too large, too crowded or not UTF-8 are refused before any work is put into them."""
    assert places(folder, "x" * 70_000) == [(1, 1, "more than 64 KB")]
    begun = time.perf_counter()
    assert places(folder, "First.\n\n" + "[" * 30_000) == [(3, 1, "a paragraph")]
    assert time.perf_counter() - begun < 5
    assert places(folder, "a\n\0") == [(2, 1, "control character U+0000")]


class Strict(HTMLParser):
    """Fails on anything active in a page."""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert tag not in ("script", "style", "iframe", "object", "embed", "form", "base", "link", "meta", "svg", "math")
        for name, value in attrs:
            assert not name.startswith("on")
            if name in ("href", "src"):
                assert re.match(r"https?://[^/]|(?!//|/|[a-z][a-z0-9+.-]*:)", re.sub(r"[\x00-\x20]", "", value or ""), re.I)


PIECES = st.sampled_from(
    [
        *"[]()<>!#*`&;:\"'=/\\-|\n",
        *("\n\n", " ", "    ", "x", "](", "![", "javascript:", "data:", "&#58;", "&colon;", "//host", "https://", "dial.webp"),
        *(
            "<script>",
            "</script>",
            "<a href=",
            "<img src=",
            "onerror=",
            "<sub>",
            "</sub>",
            "<!--",
            "-->",
            "<![CDATA[",
            "<?",
            "]]>",
        ),
        *(
            "```",
            "[1]: ",
            "[x][1]",
            "\t",
            "<p>",
            "</p>",
            "<table>",
            "<svg>",
            "<math>",
            "<style>",
            "<pre>",
            "<br/>",
            "\u2028",
            "é",
        ),
    ]
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(pieces=st.lists(PIECES, max_size=30))
def test_any_notes_are_safe_or_refused(folder: Path, pieces: list[str]) -> None:
    """Pieces of Markdown and HTML in any order give a harmless page or faults with places, and nothing else."""
    text = "".join(pieces)
    try:
        notes = noted(folder, text)
    except FaultsFound as found:
        assert found.faults
        for fault in found.faults:
            assert 1 <= fault.line <= text.count("\n") + 1
            assert fault.column >= 1
            assert str(fault).isprintable()
    else:
        Strict().feed(notes.html)
