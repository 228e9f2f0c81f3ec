"""The site on a host: the right headers, one reproducible file, and ready workflows that say what they run."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

import pytest
import yaml

from builder.__main__ import main
from builder.archive import archive
from builder.publish import PublishError, publish
from tests.conftest import PROJECT, BuiltSite
from tests.hosting.headers import Host, Wrong, hosted, looked_at


def test_a_host_that_obeys_sends_what_it_should(built_site: BuiltSite) -> None:
    """Served as its _headers file says, the site has nothing wrong with it."""
    with hosted(built_site.folder) as address:
        said = list(looked_at(address))
    assert [each for each in said if isinstance(each, Wrong)] == []
    assert len(said) == 8


def test_what_a_host_leaves_out_is_told(built_site: BuiltSite) -> None:
    """Negative control: a host without these headers, and one that wraps the site in its own habits."""

    class Plain(Host):
        obeys = False

    class Own(Host):
        extensions_map = {**Host.extensions_map, ".svg": "text/plain"}  # noqa: RUF012

        def end_headers(self) -> None:
            self.send_header("X-Frame-Options", "DENY")
            self.send_header("Set-Cookie", "seen=1")
            super().end_headers()

    for host, wrong in ((Plain, 3), (Own, 3)):
        with hosted(built_site.folder, host) as address:
            assert sum(isinstance(each, Wrong) for each in looked_at(address)) == wrong


def test_the_zip_is_the_same_bytes_twice(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Two folders written at different times, one with someone's own file in it, make one and the same archive."""
    site = {"index.html": b"<p>one</p>", "going/beat.svg": b"<svg/>"}
    for name in ("one", "two"):
        publish(site if name == "one" else dict(reversed(site.items())), tmp_path / name)
    (tmp_path / "two" / "CNAME").write_text("clock.example")
    (tmp_path / "two" / "index.html").touch()
    packed = archive(tmp_path / "one")
    assert packed == archive(tmp_path / "two")
    with zipfile.ZipFile(io.BytesIO(packed)) as opened:
        assert {name: opened.read(name) for name in opened.namelist()} == site
        assert opened.namelist() == sorted(site)
        assert {entry.date_time for entry in opened.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert main(["zip", "--site", str(tmp_path / "one"), "--out", str(tmp_path / "one.zip")]) == 0
    assert (tmp_path / "one.zip").read_bytes() == packed
    assert capsys.readouterr().out == f"{tmp_path / 'one.zip'}\n"


def test_only_a_site_of_ours_is_packed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A folder of someone's own is not handed out by mistake; a site with a file gone is not packed in silence."""
    (tmp_path / "letters").write_text("mine")
    assert main(["zip", "--site", str(tmp_path), "--out", str(tmp_path / "x.zip")]) == 1
    assert "holds no site" in capsys.readouterr().err
    publish({"index.html": b"<p>one</p>"}, tmp_path / "site")
    (tmp_path / "site" / "index.html").unlink()
    with pytest.raises(PublishError, match="build the site again"):
        archive(tmp_path / "site")


@pytest.mark.parametrize("file", [".github/workflows/pages.yml", ".gitlab-ci.yml"])
def test_workflows_build_and_upload_and_no_more(file: str) -> None:
    """Both are YAML, run `make site`, give out the folder that it writes, and name outside actions by commit only."""
    text = (PROJECT / file).read_text("utf-8")
    made = yaml.safe_load(text)
    assert made
    commands = re.findall(r"^\s*-? ?(?:run: |- )((?:make|cp|python|pip|curl|npm).*)$", text, re.M)
    assert commands[0] == "make site"
    assert set(commands) <= {"make site", "cp -r site public"}
    for used in re.findall(r"uses: (\S+)", text):
        assert re.fullmatch(r"actions/[\w-]+@[0-9a-f]{40}", used), used
