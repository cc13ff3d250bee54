"""The map of the house holds: which room may ask which, what lies at the top, what users need to run it."""
from __future__ import annotations

import ast
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.host import REPOSITORY

#: What the editor ships, beside Python itself.
SHIPPED = {"inkex", "lxml", "numpy"}

#: The standard library; Python 3.9, which can't list it, is spared the question.
STANDARD = set(getattr(sys, "stdlib_module_names", ()))

TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "extension", "geometry", "tests", "docs"}

#: Each room of geometry and what it may ask; all may ask the values at the top: refusal, box, affine.
GEOMETRY = {
    "curves": set(),
    "measuring": set(),
    "sleeve": {"curves", "measuring"},
    "editing": {"curves", "measuring", "sleeve"},
    "pieces": {"curves", "measuring", "sleeve"},
    "cloth": {"curves", "measuring", "sleeve", "editing", "pieces"},
    "paper": {"curves", "measuring"},
}
#: The values at the top know no room; a box is one of lines, so it may ask for them.
VALUES = {"refusal": set(), "box": {"curves"}, "affine": {"curves"}}

#: Each room of the extension and what it may ask of the others; ``room.file`` is that file alone.
EXTENSION = {
    "wording": set(),
    "document": {"wording", "drawing.lettering"},  # how wide a text is
    "drawing": {"wording", "document"},
    "drafting": {"wording", "document", "drawing"},
    "editing": {"wording", "document", "drawing", "drafting"},
    "cutting": {"wording", "document", "drawing", "editing"},  # what is cut is the sleeve as it stands after her edits
    "printing": {"wording", "document", "drawing", "drafting"},
    # How the sleeve was measured whose shape is carried.
    "book": {"wording", "document", "drawing", "drafting", "editing.remeasuring", "editing.checking"},
}
COMMANDS = {"client_book", "draft_sleeve", "fitting_changes", "remeasure_sleeve", "cutting_plan", "print_pages"}

SOURCES = sorted(path for package in ("geometry", "extension") for path in (REPOSITORY / package).rglob("*.py"))


def named(path: Path) -> str:
    """The dotted name of a module."""
    parts = path.relative_to(REPOSITORY).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = {named(path): path for path in SOURCES}


def imported(text: str) -> Iterator[str]:
    """Yield the dotted names that a source imports, anywhere in it; ``from a import b`` as a.b."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports name the whole way"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def module_of(name: str) -> str:
    """The module of ours that an imported name is, or is in."""
    while name and name not in MODULES:
        name = name.rpartition(".")[0]
    return name


def strays(module: str, text: str) -> list[str]:
    """Return what a module of ours imports that its place in the map does not allow."""
    return [name for name in imported(text) if not _may_ask(module, name)]


def _may_ask(module: str, name: str) -> bool:
    package, *within = module.split(".")
    first = name.split(".")[0]
    if first not in ("geometry", "extension"):
        return first == "__future__" or first in (SHIPPED if package == "extension" else {"numpy"}) or not STANDARD or first in STANDARD
    asked = module_of(name)
    if first == "geometry" and package == "extension":
        return "." in asked
    if first == "extension" and package == "geometry":
        return False
    room, *_ = within or ("",)
    other = asked.split(".")[1:]
    if not other:  # the package itself: its version
        return package == "extension"
    if other[0] == room:
        return True
    if package == "geometry":
        return other[0] in (VALUES if room in GEOMETRY or room in VALUES else ()) or other[0] in (GEOMETRY | VALUES)[room]
    if room not in EXTENSION:  # what lies at the top may ask everything
        return True
    return other[0] in EXTENSION[room] or ".".join(other) in EXTENSION[room]


@pytest.mark.parametrize("module", MODULES)
def test_a_module_asks_only_what_it_may(module):
    assert strays(module, MODULES[module].read_text("utf-8")) == []


@pytest.mark.parametrize(
    ("module", "text"),
    [
        ("geometry.curves.curve", "from geometry.sleeve.block import Block"), ("geometry.sleeve.block", "import inkex"),
        ("geometry.paper.tiling", "def f():\n    from lxml import etree"), ("geometry.measuring.lengths", "from extension import VERSION"),
        ("geometry.sleeve.draft", "from geometry.cloth import lay"), ("geometry.refusal", "from geometry.measuring.lengths import INCH"),
        ("extension.wording.job", "from extension.drawing.sheet import Sheet"), ("extension.document.parts", "from extension.drawing import pens"),
        ("extension.cutting.source", "import extension.draft_sleeve"), ("extension.drafting.placing", "from extension.editing import remeasuring"),
        ("extension.drawing.sheet", "import scipy"), ("geometry.cloth.lay", "from shapely import Polygon"),
    ],
)  # fmt: skip
def test_a_stray_import_is_seen(module, text):
    assert strays(module, text)


def test_no_module_waits_for_itself():
    """No two modules import each other at their heads, directly or round about; late imports are meant."""
    asks = {
        module: {module_of(name) for name in imported(ast.unparse(_heads(path))) if module_of(name)} - {module}
        for module, path in MODULES.items()
    }  # fmt: skip
    packages = {module for module, path in MODULES.items() if path.name == "__init__.py"}
    waiting = {module: needs - packages for module, needs in asks.items() if module not in packages}
    while ready := {module for module, needs in waiting.items() if not needs & set(waiting)}:
        waiting = {module: needs for module, needs in waiting.items() if module not in ready}
    assert waiting == {}


def _heads(path: Path) -> ast.Module:
    tree = ast.parse(path.read_text("utf-8"))
    return ast.Module([node for node in tree.body if isinstance(node, (ast.Import, ast.ImportFrom))], [])


def test_the_rooms_are_those_of_the_map():
    for package, rooms in (("geometry", GEOMETRY), ("extension", EXTENSION)):
        found = {path.name for path in (REPOSITORY / package).iterdir() if path.is_dir() and any(path.glob("*.py"))}
        assert found == set(rooms)
        for room in (*rooms, ""):
            about = ast.get_docstring(ast.parse((REPOSITORY / package / room / "__init__.py").read_text("utf-8")))
            assert about and about.endswith("."), f"{package}/{room}/__init__.py says what is in the room"


def test_every_module_says_what_it_is_for():
    assert [module for module, path in MODULES.items() if not ast.get_docstring(ast.parse(path.read_text("utf-8")))] == []


@pytest.mark.parametrize("package", ["geometry", "extension"])
def test_no_two_files_share_a_name(package):
    names = Counter(path.stem for path in SOURCES if path.relative_to(REPOSITORY).parts[0] == package and path.stem != "__init__")
    assert [name for name, count in names.items() if count > 1] == []


def test_at_the_top_of_each_package_lies_what_begins_it():
    assert {path.stem for path in (REPOSITORY / "geometry").glob("*.py")} <= {"__init__", *VALUES}
    scripts = {path.stem for path in (REPOSITORY / "extension").glob("*.py") if ".run_as_script()" in path.read_text("utf-8")}
    assert scripts == COMMANDS == {path.stem for path in (REPOSITORY / "extension").glob("*.inx")} - {"open_guide"}
    others = {path.stem for path in (REPOSITORY / "extension").glob("*.py")} - COMMANDS
    assert others <= {"__init__", "command", "demo", "install", "settings", "host_check", "guide_pages", "open_guide"}


def test_nothing_else_lies_at_the_top_level():
    """Dot-files apart, and what .gitignore leaves out."""
    ignored = {line.strip().strip("/") for line in (REPOSITORY / ".gitignore").read_text("utf-8").splitlines()}
    assert {path.name for path in REPOSITORY.iterdir() if not path.name.startswith(".")} - ignored == TOP_LEVEL
