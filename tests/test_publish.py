"""The site is written whole or not at all, and nothing that others wrote is ever lost."""

from __future__ import annotations

import errno
import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from builder import publish as publishing
from builder.publish import MARKER, PROJECT, PublishError, clean, may_publish, publish
from tests.kill_builds import NEW, OLD, OTHERS, read, write

KILLER = Path(__file__).with_name("kill_builds.py")


@pytest.fixture
def out(tmp_path: Path) -> Path:
    """A folder with the old site, and what others keep in it."""
    folder = tmp_path / "site"
    folder.mkdir()
    write(folder, {".gitignore": OTHERS[".gitignore"]})
    publish(OLD, folder)
    write(folder, OTHERS)
    return folder


@pytest.fixture(params=["exchange", "two renames"])
def either_swap(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Runs a test with the one-step exchange and as on systems that have none."""
    if request.param == "two renames":
        monkeypatch.setattr(publishing, "_exchange", lambda one, other: False)


@pytest.mark.usefixtures("either_swap")
def test_the_new_site_replaces_the_old_one_whole(out: Path):
    """Pages that are no longer part of the site are gone, and nothing is left beside it."""
    publish(NEW, out)
    assert read(out) == NEW | OTHERS
    assert [path.name for path in out.parent.iterdir()] == ["site"]


def test_the_first_site_needs_no_folder(tmp_path: Path):
    """A folder that does not exist yet is made."""
    publish(NEW, tmp_path / "site")
    assert read(tmp_path / "site") == NEW


def test_same_site_same_bytes(tmp_path: Path):
    """Two builds leave the same bytes, the marker's among them."""
    for name, site in (("one", NEW), ("two", dict(reversed(NEW.items())))):
        publish(site, tmp_path / name)
    assert read(tmp_path / "one") == read(tmp_path / "two")
    assert (tmp_path / "one" / MARKER).read_bytes() == (tmp_path / "two" / MARKER).read_bytes()


def test_links_and_permissions_are_carried_over(out: Path, tmp_path: Path):
    """A link that someone put into the folder stays a link, and is not followed; the folder keeps its permissions."""
    (tmp_path / "elsewhere").mkdir()
    write(tmp_path / "elsewhere", {"index.html": b"not ours"})
    (out / "linked").symlink_to(tmp_path / "elsewhere")
    out.chmod(0o750)
    publish(NEW, out)
    assert (out / "linked").readlink() == tmp_path / "elsewhere"
    assert read(tmp_path / "elsewhere") == {"index.html": b"not ours"}
    assert out.stat().st_mode & 0o777 == 0o750


def test_a_page_never_overwrites_what_others_wrote(out: Path):
    """A file of someone's own with the name of a new page stops the build."""
    write(out, {"fresh/first.svg": b"mine"})
    with pytest.raises(PublishError, match=r"fresh/first\.svg was not written by Between Plates"):
        publish(NEW, out)
    assert read(out) == OLD | OTHERS | {"fresh/first.svg": b"mine"}


def test_a_site_with_a_broken_link_is_not_written(out: Path):
    """The link check stands before the first byte written."""
    with pytest.raises(PublishError, match=r"gone\.html"):
        publish({"index.html": b'<a href="gone.html">x</a>'}, out)
    with pytest.raises(PublishError, match="empty"):
        publish({}, out)
    assert read(out) == OLD | OTHERS


@pytest.mark.parametrize("path", ["../escape.html", "/escape.html", "going/../../escape.html", MARKER])
def test_no_path_leaves_the_folder_or_poses_as_the_marker(out: Path, path: str):
    """Paths of the site are relative and plain, and the marker's name is taken."""
    with pytest.raises(PublishError, match=r"a path of the site|the marker's name"):
        publish({path: b""}, out)
    assert read(out) == OLD | OTHERS
    assert not (out.parent / "escape.html").exists()


def test_folders_that_are_not_ours_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """Without the marker, only an empty folder or one with a .gitignore is taken; and no folder that holds more than a site."""
    write(tmp_path, {"papers/will.txt": b"precious", "file": b"", "home/letters/x": b"x"})
    (tmp_path / "link").symlink_to(tmp_path / "papers")
    (tmp_path / "dangling").symlink_to(tmp_path / "nowhere")
    (tmp_path / "cwd" / "deep").mkdir(parents=True)
    monkeypatch.chdir(tmp_path / "cwd" / "deep")
    monkeypatch.setenv("HOME", str(tmp_path / "home" / "letters"))
    before = read(tmp_path)
    for target, reason in {
        "papers": "no site of Between Plates",
        "file": "not a plain folder",
        "link": "not a plain folder",
        "dangling": "not a plain folder",
        "home/letters": "the home folder",
        "home": "the home folder",
        "cwd": "the present folder",
        "cwd/deep": "the present folder",
        "no/such/parent": "does not exist",
        "/": "is or holds",
        str(PROJECT): "the project",
        str(PROJECT / "site" / ".."): "the project",
        str(PROJECT / "models" / "made_up"): "the project's own files",
        "/proc": "a disk of its own",
    }.items():
        for command in (lambda path: publish(NEW, path), may_publish, clean):
            with pytest.raises(PublishError, match=reason):
                command(tmp_path / target)
    assert read(tmp_path) == before


def test_clean_removes_what_was_written_and_nothing_else(out: Path, tmp_path: Path):
    """Other people's files stay where they are; a folder that held only the site goes; where nothing is, nothing happens."""
    clean(out)
    assert read(out) == OTHERS
    assert not (out / MARKER).exists()
    assert not (out / "going").exists()
    publish(NEW, tmp_path / "plain")
    clean(tmp_path / "plain")
    clean(tmp_path / "plain")
    assert not (tmp_path / "plain").exists()


def test_a_marker_cannot_reach_outside(out: Path, tmp_path: Path):
    """A marker that lists paths outside the folder, or behind a link in it, has no power over them."""
    write(tmp_path, {"elsewhere/x": b"x"})
    (out / "linked").symlink_to(tmp_path / "elsewhere")
    with (out / MARKER).open("a") as marker:
        marker.write("../elsewhere/x\nlinked/x\n" + str(tmp_path / "elsewhere/x") + "\n")
    publish(NEW, out)
    clean(out)
    assert read(tmp_path / "elsewhere") == {"x": b"x"}


@pytest.mark.parametrize("name", [".site.staged", ".site.aside"])
def test_leftovers_are_mended_and_strangers_refused(out: Path, name: str):
    """A leftover of ours goes; a folder of that name with someone's file in it, or a file, stops the build and stays."""
    left = out.with_name(name)
    write(left, {MARKER: b"heading\nindex.html\n", "index.html": b"half a pa", ".gitignore": b"*"})
    publish(NEW, out)
    assert not left.exists()
    write(left, {MARKER: b"heading\nindex.html\n", "index.html": b"half", "diary.txt": b"mine"})
    with pytest.raises(PublishError, match=r"diary\.txt was not written by Between Plates"):
        publish(OLD, out)
    assert (left / "diary.txt").read_bytes() == b"mine"
    (left / "diary.txt").unlink()
    clean(out)
    assert not left.exists()
    left.write_bytes(b"a file")
    with pytest.raises(PublishError, match="in the way"):
        publish(OLD, out)
    assert left.read_bytes() == b"a file"


def test_a_site_that_stepped_aside_comes_back(out: Path):
    """After a kill between the two renames the old site lies beside; the next run puts it back, whatever it then does."""
    out.rename(out.with_name(".site.aside"))
    write(out.with_name(".site.aside"), {"fresh/first.svg": b"mine"})
    with pytest.raises(PublishError, match=r"fresh/first\.svg was not written by Between Plates"):
        publish(NEW, out)
    assert read(out) == OLD | OTHERS | {"fresh/first.svg": b"mine"}


@pytest.mark.usefixtures("either_swap")
@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EDQUOT, errno.EIO, errno.EROFS])
def test_a_failing_disk_leaves_the_old_site(out: Path, monkeypatch: pytest.MonkeyPatch, number: int):
    """Whichever write, flush or rename fails, the message is plain, the site is whole, and nothing is left beside it."""
    for step in range(100):
        left = step

        def fail(real, *args, **options):
            nonlocal left
            left -= 1
            if left == -1:
                raise OSError(number, os.strerror(number), str(args[0]))
            return real(*args, **options)

        with monkeypatch.context() as patch:
            for owner, name in ((Path, "mkdir"), (Path, "write_bytes"), (Path, "write_text"), (Path, "rename"), (os, "fsync")):
                real = getattr(owner, name)
                patch.setattr(owner, name, lambda *args, real=real, **options: fail(real, *args, **options))
            try:
                publish(NEW, out)
            except PublishError as error:
                said = str(error)
            else:
                break
        expected = NEW if "holds the new site" in said else OLD
        assert os.strerror(number).lower()[1:] in said.lower()
        assert "is unchanged" in said or expected is NEW
        if not out.exists():  # the rename back failed too: the next run does it
            publishing._mend(out)
        assert read(out) == expected | OTHERS
        publish(OLD, out)
        assert [path.name for path in out.parent.iterdir()] == ["site"]
    assert 12 < step < 99, "every step has been made to fail once, and the last try went through"


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A real file system of 64 KiB."""
    if os.geteuid() or subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "none", tmp_path], check=False).returncode:
        pytest.skip("only root, where the machine allows it, can mount a small disk")
    yield tmp_path
    subprocess.run(["umount", tmp_path], check=True)


def test_a_full_disk(small_disk: Path):
    """On a disk that is really full the old site stays, the message says why, and a smaller site can then be written."""
    out = small_disk / "site"
    publish(OLD, out)
    with pytest.raises(PublishError, match="is unchanged: no space left on device"):
        publish({"big.pdf": bytes(100_000)}, out)
    assert read(out) == OLD
    assert [path.name for path in small_disk.iterdir()] == ["site"]
    publish(NEW, out)
    assert read(out) == NEW


def test_a_read_only_disk(small_disk: Path):
    """On a disk mounted read-only the old site stays and the message says why, for clean too."""
    out = small_disk / "site"
    publish(OLD, out)
    subprocess.run(["mount", "-o", "remount,ro", small_disk], check=True)
    with pytest.raises(PublishError, match="is unchanged: read-only file system"):
        publish(NEW, out)
    with pytest.raises(PublishError, match="could not be cleaned: read-only file system"):
        clean(out)
    assert read(out) == OLD


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_without_permission(out: Path):
    """Without permission to write beside the site it stays, and the message says why."""
    out.parent.chmod(0o555)
    try:
        with pytest.raises(PublishError, match="is unchanged: permission denied"):
            publish(NEW, out)
    finally:
        out.parent.chmod(0o755)
    assert read(out) == OLD | OTHERS


def in_a_process(out: Path, what: str, swap: str) -> list[str]:
    ran = subprocess.run([sys.executable, KILLER, what, swap, out], cwd=PROJECT, capture_output=True, text=True, check=True)
    return json.loads(ran.stdout)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
@pytest.mark.parametrize("swap", ["exchange", "two renames"])
def test_killed_at_every_step(out: Path, swap: str):
    """Before each call to the system, a kill leaves a whole site, old until the swap and new after it, and the next run mends."""
    seen = in_a_process(out, "steps", swap)
    assert len(seen) > 60
    whole = ["old, mended old", *(["old aside, mended old"] if swap == "two renames" else []), "new, mended new"]
    assert [one for at, one in enumerate(seen[:-1]) if one != seen[at - 1] or at == 0] == whole
    assert seen[-1] == "old"
    assert [path.name for path in out.parent.iterdir()] == ["site"]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
@pytest.mark.skipif(sys.platform not in ("linux", "darwin"), reason="needs the exchange of two folders in one step")
def test_killed_at_random_moments(out: Path):
    """Two hundred kills at random moments: a whole site lies in its place after every single one."""
    seen = in_a_process(out, "random", "exchange")
    assert set(seen) == {"old", "new"}
    assert len(seen) == 201
    assert [path.name for path in out.parent.iterdir()] == ["site"]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_the_kills_tell_a_torn_site(out: Path):
    """Negative control: where pages are written in place, a kill leaves some old and some new, and the check says so."""
    assert any(one.startswith("torn") for one in in_a_process(out, "steps", "in place"))


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
@pytest.mark.parametrize("swap", ["exchange", "two renames"])
def test_two_builds_at_once(out: Path, swap: str):
    """Two processes that write into the same folder wait for each other; neither fails, and a whole site remains."""
    assert in_a_process(out, "together", swap) == ["0", "0", "new"]
    assert [path.name for path in out.parent.iterdir()] == ["site"]


@pytest.mark.skipif(sys.platform != "linux", reason="needs groups of processes and the exchange of two folders in one step")
def test_whole_builds_are_killed(tmp_path: Path):
    """Reading, solving, store and all: after every kill a whole site lies there, and the next build mends. `make fuzz`: 200."""
    command = [sys.executable, KILLER.with_name("kill_whole_builds.py"), "8", tmp_path]
    ran = subprocess.run(command, cwd=PROJECT, capture_output=True, text=True, check=False)
    seen = json.loads(ran.stdout)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert seen["killed"] >= 1, "a machine that is busy now and then lets builds through"
    assert seen["mended"] == 1
