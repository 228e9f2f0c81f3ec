"""What was made before is used again only where it is whole and made of the same; builds side by side and in parts agree."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
import zipfile
from pathlib import Path

import pytest

from builder import assemble
from builder.__main__ import main
from builder.assemble import How, assembled, part
from builder.build import build_site
from builder.ground.faults import FaultsFound
from builder.side_by_side import BrokenError, Helpers
from builder.store import Store, StoreError, Together, fingerprint, fingerprint_of
from tests.light_work import ends, squared
from tests.movement_texts import named, toml, write_collection, write_movement

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def models(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three movements."""
    folder = tmp_path_factory.mktemp("bench") / "models"
    write_collection(folder)
    for slug in ("one", "two", "three"):
        write_movement(folder, named(f"Clock {slug}"), slug)
    return folder


@pytest.fixture(scope="module")
def whole(models: Path) -> dict[str, bytes]:
    """Their site, made in this process, one after the other, without a store."""
    return build_site(models)


@pytest.fixture(scope="module")
def filled(models: Path, whole: dict[str, bytes], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store after a build in two processes, whose bytes are those of `whole`."""
    store = tmp_path_factory.mktemp("store") / "kept"
    assert made(models, How(store, 2)) == (whole, [])
    return store


def made(models: Path, how: How, **others: object) -> tuple[dict[str, bytes], list[str]]:
    with assembled(models, how=how, **others) as (site, faults):  # type: ignore[arg-type]
        return dict(site.items()), faults


@pytest.fixture
def store(filled: Path, tmp_path: Path) -> Path:
    """A copy of the store, to be spoilt."""
    return shutil.copytree(filled, tmp_path / "kept")


@pytest.fixture
def units(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Names of the units that are made from here on, all in this process."""
    names: list[str] = []
    make, shelf = assemble._make, Store.keep

    def told(models: Path, slug: str, key: str, folder: Path) -> object:
        names.append(slug)
        return make(models, slug, key, folder)

    def kept(self: Store, name: str, *rest: object) -> None:
        names.extend([name] if name == assemble.SHELF else [])
        shelf(self, name, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(assemble, "_make", told)
    monkeypatch.setattr(Store, "keep", kept)
    return names


def test_side_by_side_is_the_same_as_one_by_one(filled: Path) -> None:
    """Two processes write the bytes that one writes: asserted where the store is filled. Each unit is one file there."""
    assert sorted(path.name.split(".")[0] for path in filled.iterdir()) == ["_apart", "_shelf", "one", "three", "two"]


def test_nothing_is_made_where_nothing_changed(models: Path, whole: dict[str, bytes], store: Path, units: list[str]) -> None:
    """The second build takes every unit from the store."""
    assert made(models, How(store, 1)) == (whole, [])
    assert units == []


def test_a_changed_file_makes_its_movement_and_the_shelf(models: Path, store: Path, tmp_path: Path, units: list[str]) -> None:
    """One movement edited: it and the shelf are made anew, and the site is that of a build from nothing."""
    changed = shutil.copytree(models, tmp_path / "models")
    write_movement(changed, named("Clock edited"), "two")
    site, _ = made(changed, How(store, 1))
    assert units == ["two", "_shelf"]
    assert b"Clock edited" in site["index.html"]
    assert site == build_site(changed)


@pytest.mark.parametrize("what", ["notes.md", "../collection.toml"])
def test_whatever_goes_in_counts(models: Path, store: Path, tmp_path: Path, units: list[str], what: str) -> None:
    """Notes belong to one movement's unit; the collection to all, also to what knows of no movement."""
    changed = shutil.copytree(models, tmp_path / "models")
    with (changed / "one" / what).open("a", encoding="utf-8") as file:
        file.write("\n# More\n" if what == "notes.md" else "\n# a remark\n")
    made(changed, How(store, 1))
    assert units == (["one", "_shelf"] if what == "notes.md" else ["one", "three", "two", "_apart", "_shelf"])


def test_every_input_changes_the_fingerprint(tmp_path: Path) -> None:
    """Content, name and place of a file count, and where one text ends and the next begins; times do not."""
    (tmp_path / "a").write_bytes(b"x")
    seen = [fingerprint_of(tmp_path)]
    os.utime(tmp_path / "a", (1, 1))
    assert fingerprint_of(tmp_path) == seen[0]
    for change in (
        lambda: (tmp_path / "a").write_bytes(b"y"),
        lambda: (tmp_path / "a").rename(tmp_path / "b"),
        lambda: (tmp_path / "c").write_bytes(b""),
    ):
        change()
        seen.append(fingerprint_of(tmp_path))
    assert len(set(seen)) == 4
    assert fingerprint("ab", "c") != fingerprint("a", "bc")


DAMAGE = {
    "cut short": lambda data: data[: len(data) // 2],
    "empty": lambda data: b"",
    "one bit": lambda data: data[:500] + bytes([data[500] ^ 1]) + data[501:],
    "another file": lambda data: b"PK\x03\x04 nothing of the kind",
    "no seal": lambda data: data.partition(b"\n")[2],
    "longer": lambda data: data + b"\0",
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_what_is_damaged_is_made_again(
    models: Path, whole: dict[str, bytes], store: Path, units: list[str], damage: str
) -> None:  # fmt: skip
    """An entry cut short, changed by one bit or overwritten is as good as none, and is put right by the build."""
    (entry,) = store.glob("two.*")
    entry.write_bytes(DAMAGE[damage](entry.read_bytes()))
    assert made(models, How(store, 1)) == (whole, [])
    assert units == ["two"]
    assert made(models, How(store, 1)) == (whole, [])
    assert units == ["two"]


def test_a_store_that_is_gone_or_unusable_is_no_fault(models: Path, whole: dict[str, bytes], tmp_path: Path) -> None:
    """Deleted, a file in its place, or a folder that cannot be made: the site is the same."""
    (tmp_path / "file").write_text("in the way")
    for place in (tmp_path / "file", tmp_path / "no" / "such" / "parent"):
        assert made(models, How(place, 1), only=["one"])[1] == []
    assert (tmp_path / "file").read_text() == "in the way"


def test_an_entry_that_goes_while_it_is_in_use_is_named(models: Path, store: Path) -> None:
    """Who deletes the store during a build gets a sentence, and nothing half read."""
    with assembled(models, how=How(store, 1)) as (site, _):
        for file in store.iterdir():
            file.unlink()
        with pytest.raises(StoreError, match="has gone while it was in use"):
            dict(site.items())


def test_two_builds_share_a_store(models: Path, whole: dict[str, bytes], tmp_path: Path) -> None:
    """Two commands at once with one empty store: both end well, with the same site."""
    where = ["--models", models, "--store", tmp_path / "kept", "--only", "one"]
    command = [sys.executable, "-m", "builder", "build", "--quiet", *where]
    running = [subprocess.Popen([*command, "--out", tmp_path / name], cwd=ROOT) for name in ("left", "right")]
    assert [each.wait(timeout=300) for each in running] == [0, 0]
    left, right = (
        {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
        for folder in (tmp_path / "left", tmp_path / "right")
    )
    assert left == right
    assert {path: data for path, data in left.items() if path.startswith("one/")} == {
        path: data for path, data in whole.items() if path.startswith("one/")
    }
    assert not list((tmp_path / "kept").glob("*.half"))


@pytest.mark.skipif(not hasattr(os, "killpg"), reason="needs process groups")
def test_ctrl_c_ends_all_of_it(models: Path, tmp_path: Path) -> None:
    """Ctrl-C reaches the command and its helpers: one sentence, exit 1, nobody left behind, and nothing written but the store."""
    command = [sys.executable, "-m", "builder", "build", "--jobs", "2", "--models", models, "--store", tmp_path / "kept"]
    command += ["--out", tmp_path / "site"]
    with subprocess.Popen(command, cwd=ROOT, stderr=subprocess.PIPE, text=True, start_new_session=True) as running:
        assert running.stderr is not None
        first = running.stderr.readline()
        time.sleep(0.5)
        os.killpg(running.pid, signal.SIGINT)
        said = running.stderr.read()
    assert (first.strip(), said.strip().splitlines()[-1], "Traceback" in said) == ("one", "Stopped; nothing was changed.", False)
    assert running.returncode == 1
    assert not (tmp_path / "site").exists()
    with pytest.raises(ProcessLookupError):
        for _ in range(100):
            os.killpg(running.pid, 0)
            time.sleep(0.1)


def test_old_entries_go(store: Path) -> None:
    """Of one name the newest stay, of those unused for a month none; what killed builds left goes, what is fresh stays."""
    kept, now = Store(store), time.time()

    def put(name: str, age_s: float) -> Path:
        file = store / name
        file.write_bytes(b"x")
        os.utime(file, (now - age_s, now - age_s))
        return file

    many = [put(f"clock.{n}.zip", 7200.0 + n) for n in range(7)]
    month, half, fresh = put("watch.a.zip", 40 * 86400.0), put("clock.b.half", 7200.0), put("clock.c.half", 5.0)
    before = set(store.glob("one.*"))
    kept.sweep()
    assert [file.exists() for file in many] == [True] * 4 + [False] * 3
    assert (month.exists(), half.exists(), fresh.exists()) == (False, False, True)
    assert set(store.glob("one.*")) == before


def test_faults_are_never_kept(models: Path, store: Path, tmp_path: Path) -> None:
    """Faults of all movements and of the collection are said together, in one process and in two, and each time again."""
    changed = shutil.copytree(models, tmp_path / "models")
    write_movement(changed, "what = ", "one")
    write_movement(changed, toml(named("Clock")).replace("leaves = 8", "leaves = 1"), "two")
    (changed / "collection.toml").write_text("title = 3\n", "utf-8")
    said = []
    for jobs in (1, 2, 1):
        with pytest.raises(FaultsFound) as found, assembled(changed, how=How(store, jobs)):
            pass
        said.append([str(fault) for fault in found.value.faults])
    assert said[0] == said[1] == said[2]
    assert {fault.split(":")[0] for fault in said[0]} == {"collection.toml", "one/movement.toml", "two/movement.toml"}
    assert len(set(said[0])) == len(said[0])


@pytest.mark.parametrize("of", [2, 5])
def test_parts_merged_are_the_whole(models: Path, whole: dict[str, bytes], filled: Path, tmp_path: Path, of: int) -> None:
    """Every movement is in one part; merged, they are the site of one build, also where there are more parts than movements."""
    folders, seen = [], []
    for number in range(1, of + 1):
        with part(models, number, of, How(filled, 1)) as files:
            folder = tmp_path / str(number)
            folder.mkdir()
            for name, data in files.items():
                (folder / name).write_bytes(data)
            seen += json.loads(files["part.json"])["movements"]
        folders.append(folder)
    assert sorted(seen) == ["one", "three", "two"]
    assert made(models, How(None, 1), parts=folders) == (whole, [])
    with pytest.raises(StoreError, match="In none of the parts: "):
        made(models, How(None, 1), parts=folders[1:])


def test_the_commands_of_parts(models: Path, whole: dict[str, bytes], filled: Path, tmp_path: Path) -> None:
    """`build --part` and `build --merge` by the command line; a part is written whole or not at all, and can be cleaned."""
    where = ["--quiet", "--models", str(models), "--store", str(filled)]
    parts = [str(tmp_path / f"part{number}") for number in (1, 2)]
    for number, folder in enumerate(parts, 1):
        assert main(["build", *where, "--part", f"{number}/2", "--out", folder]) == 0
    assert main(["build", *where, "--merge", *parts, "--out", str(tmp_path / "site")]) == 0
    assert {path: (tmp_path / "site" / path).read_bytes() for path in whole} == whole
    assert main(["clean", "--out", parts[0]]) == 0
    assert not Path(parts[0]).exists()


@pytest.mark.parametrize("share", ["0/3", "4/3", "1", "1/0", "a/b", "-1/3", "1/3/5", ""])
def test_a_part_that_is_none_is_wrong_use(share: str, models: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 2, and what to write."""
    with pytest.raises(SystemExit) as ended:
        main(["build", "--models", str(models), f"--part={share}"])
    assert ended.value.code == 2
    assert "write its number and of how many, from 1/3 to 3/3" in capsys.readouterr().err


@pytest.mark.parametrize("jobs", ["0", "-2", "many", "1.5"])
def test_jobs_that_are_none_are_wrong_use(jobs: str, models: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit code 2, and what to write."""
    with pytest.raises(SystemExit) as ended:
        main(["build", "--models", str(models), f"--jobs={jobs}"])
    assert ended.value.code == 2
    assert "write 1 or more" in capsys.readouterr().err


def test_the_store_holds_no_program(filled: Path) -> None:
    """An entry is a zip file of pages and JSON behind its SHA-256: nothing in it is ever run."""
    for entry in filled.glob("*.zip"):
        with zipfile.ZipFile(entry) as held:  # whatever stands before a zip file is passed over
            for name in held.namelist():
                if not name.startswith("files/"):
                    assert name.endswith(".json")
                    json.loads(held.read(name))


def test_one_entry_at_a_time_is_in_memory(filled: Path, models: Path) -> None:
    """The site is read entry by entry, in the order in which it is asked for: each file once, none held."""
    with assembled(models, how=How(filled, 1)) as (site, _):
        assert isinstance(site, Together)
        opened: list[str] = []
        for path, data in site.items():
            assert data == site[path]
            opened.append(path.split("/")[0])
        runs = [name for n, name in enumerate(opened) if n == 0 or opened[n - 1] != name]
        assert len([name for name in runs if name in ("one", "two", "three")]) == 3


def test_results_come_in_order() -> None:
    """Whatever the processes, results stand as the calls did; helpers once there take the next calls too."""
    calls = [(n,) for n in range(7)]
    with Helpers(2) as two, Helpers(1) as one:
        assert list(two.each(squared, calls)) == list(one.each(squared, calls)) == [n * n for n in range(7)]
        assert list(two.each(squared, calls[3:4])) == [9]


def test_a_killed_helper_is_said() -> None:
    """A process that is ended from outside is told in a sentence, and does not hang the build."""
    with Helpers(2) as two, pytest.raises(BrokenError, match="ended from outside"):
        list(two.each(ends, [(0,), (1,)]))
