"""The floors of the builder: imports go downwards only, nothing goes round in a circle, and a few things have one place."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

BUILDER = Path(__file__).resolve().parents[1] / "builder"

FLOORS = (
    {"ground"},
    {"parts"},
    {"movement"},
    {"going", "bench"},
    {"drawing"},
    {"authorities", "pages", "lessons"},
    {"archive", "publish", "linkcheck", "store", "side_by_side", "serve", "starter", "packs"},
    {"build", "assemble", "commands", "__main__"},
)
FLOOR_OF = {name: floor for floor, names in enumerate(FLOORS) for name in names}

ONLY_IN: dict[str, set[str]] = {
    "svgwrite": {"drawing/sheet.py"},
    "cssselect2": {"packs/literal.py"},
    "tinycss2": {"packs/literal.py"},
    "resvg_py": {"packs/raster.py"},
    "PIL": {"packs/loop.py", "packs/pictures.py", "packs/raster.py", "packs/repair.py"},
    "scipy": set(),
    "shapely": set(),
    "matplotlib": set(),
    "pytest": set(),
}
"""Which files may import what: scipy and shapely judge the builder in its tests, so it may not lean on them."""


def sources(root: Path = BUILDER) -> list[Path]:
    return sorted(root.rglob("*.py"))


def module_of(path: Path, root: Path) -> tuple[str, ...]:
    """builder/parts/teeth/__init__.py as ("builder", "parts", "teeth")."""
    steps = path.relative_to(root.parent).with_suffix("").parts
    return steps[:-1] if steps[-1] == "__init__" else steps


def imports(path: Path, root: Path = BUILDER) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Line and full dotted name of everything a file imports, wherever the import stands in it, relative ones resolved."""
    package = path.parent.relative_to(root.parent).parts
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, tuple(name.name.split("."))) for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            above = package[: len(package) - node.level + 1] if node.level else ()
            origin = (*above, *(node.module.split(".") if node.module else ()))
            yield from ((node.lineno, (*origin, name.name)) for name in node.names)


def upward_imports(root: Path) -> list[str]:
    faults = []
    for path in sources(root):
        module = module_of(path, root)
        if len(module) == 1:
            continue
        for line, name in imports(path, root):
            if name[0] == root.name and len(name) > 1 and FLOOR_OF.get(name[1], -1) > FLOOR_OF.get(module[1], 0):
                faults.append(f"{path.relative_to(root)}:{line} imports {'.'.join(name)} from a floor above")
    return faults


def circles(root: Path) -> list[str]:
    """Modules that import each other, directly or by way of others, at import time or later."""
    modules = {module_of(path, root): path for path in sources(root)}
    needs = {
        module: {name if name in modules else name[:-1] for _, name in imports(path, root)} & modules.keys() - {module}
        for module, path in modules.items()
    }
    settled: set[tuple[str, ...]] = set()
    while ready := {module for module, needed in needs.items() if module not in settled and needed <= settled}:
        settled |= ready
    return sorted(".".join(module) for module in modules.keys() - settled)


def misplaced_imports(root: Path) -> list[str]:
    return [
        f"{path.relative_to(root)}:{line} imports {name[0]}"
        for path in sources(root)
        for line, name in imports(path, root)
        if name[0] in ONLY_IN and path.relative_to(root).as_posix() not in ONLY_IN[name[0]]
    ]


def printing(root: Path) -> list[str]:
    return [
        f"{path.relative_to(root)}:{node.lineno} prints"
        for path in sources(root)
        if path.name != "__main__.py" and path.parent.name != "commands"
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "print"
    ]


def test_every_module_stands_on_a_floor():
    """A new folder or file at the top of builder/ is given its floor here before anything imports it."""
    homeless = {module_of(path, BUILDER)[1] for path in sources() if len(module_of(path, BUILDER)) > 1} - FLOOR_OF.keys()
    assert not homeless


def test_imports_go_downwards():
    """Nothing imports from a floor above its own, not even inside a function."""
    assert upward_imports(BUILDER) == []


def test_nothing_goes_round_in_a_circle():
    """Each module can be read after the ones it needs."""
    assert circles(BUILDER) == []


def test_libraries_have_their_place():
    """svgwrite is used by the sheet alone, so it can be replaced in one file; test-only libraries are not used at all."""
    assert misplaced_imports(BUILDER) == []


def test_only_the_commands_print():
    """What a command says is decided in one place."""
    assert printing(BUILDER) == []


@pytest.mark.parametrize(
    ("file", "text", "check"),
    [
        ("ground/a.py", "from builder.parts import wheel", upward_imports),
        ("ground/a.py", "import builder.parts.wheel", upward_imports),
        ("ground/a.py", "from ..parts import wheel", upward_imports),
        ("ground/a.py", "from .. import parts", upward_imports),
        ("going/a.py", "def f():\n    from builder import pages", upward_imports),
        ("drawing/diagrams/a.py", "import svgwrite", misplaced_imports),
        ("going/a.py", "from scipy.optimize import brentq", misplaced_imports),
        ("parts/wheel.py", "from builder.parts import wheel_too", circles),
        ("pages/a.py", "print('here')", printing),
    ],
)
def test_the_checks_can_fail(tmp_path: Path, file: str, text: str, check):
    """Negative control: each check names a file that breaks its rule."""
    root = tmp_path / "builder"
    for package in ("", "ground", "parts", "going", "drawing", "drawing/diagrams", "pages"):
        (root / package).mkdir()
        (root / package / "__init__.py").write_text("")
    (root / "parts" / "wheel.py").write_text("")
    (root / "parts" / "wheel_too.py").write_text("from builder.parts.wheel import x")
    assert check(root) == []
    (root / file).write_text(text)
    assert check(root)
