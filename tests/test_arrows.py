"""The arrows of the house point one way: a room imports only what lies before it."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import kettlewright
import kettlewright_client
import pytest

HOUSE = Path(kettlewright.__file__).parent
GROUND = {"curing", "errors", "identity", "knapsack", "limits", "ranges", "names", "digits", "money", "prices", "said",
          "amounts"}
MAY_IMPORT = {
    "errors": set(), "limits": {"errors", "amounts", "said"}, "ranges": {"errors", "said"}, "names": set(),
    "digits": set(),
    "identity": {"digits"},
    "knapsack": set(), "money": {"errors"}, "prices": {"errors", "limits", "money"},
    "amounts": set(), "said": {"amounts"}, "curing": {"errors", "said"},
    "reference": GROUND, "recipe": GROUND | {"reference"}, "pour": GROUND | {"recipe", "reference"},
    "release": GROUND | {"recipe", "pour", "reference"},
    "weigh_list": GROUND | {"recipe", "pour"}, "cautions": GROUND | {"recipe", "pour", "release"},
    "plan": GROUND | {"recipe", "pour", "release", "weigh_list", "cautions"},
    "actuals": GROUND | {"recipe", "pour", "release", "weigh_list", "cautions", "plan"},
    "units": {"amounts"}, "languages": {"amounts", "said", "units"},
    "views": GROUND | {"cautions", "languages", "reference"},
}
MATHS = sorted(MAY_IMPORT.keys() - {"views", "languages", "units"})
FOREIGN = {"flask", "marshmallow", "werkzeug", "apispec", "requests", "gunicorn", "yaml", "jinja2", "icalendar",
           "babel", "gettext"}
IMPURE = {"os", "time", "datetime", "random", "uuid", "logging", "socket", "subprocess"}


COUNTS_DAYS = {"release"}  # calendar dates are values like any other; the day of today comes in from outside


def _files(room: str) -> list[Path]:
    folder = HOUSE / room
    return sorted(folder.rglob("*.py")) if folder.is_dir() else [HOUSE / f"{room}.py"]


def _imports(file: Path) -> Iterator[tuple[str, str]]:
    """Top-level package, and room where the package is ours."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
        if isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module]
            if node.module == "kettlewright":
                names = [f"kettlewright.{alias.name}" for alias in node.names]
        for name in names:
            package, _, rest = name.partition(".")
            yield package, rest.split(".")[0]


@pytest.mark.parametrize("room", MAY_IMPORT)
def test_a_room_imports_only_what_lies_before_it(room: str) -> None:
    for file in _files(room):
        rooms = {inside for package, inside in _imports(file) if package == "kettlewright"}
        assert rooms <= MAY_IMPORT[room] | {room}, f"{file.name} imports {rooms - MAY_IMPORT[room] - {room}}"


WINGS = {
    "pour/mould": {"pour/mould"}, "pour/cut": {"pour/cut", "pour/mould"}, "pour/fade": {"pour/fade"},
    "release/label": {"release/label"}, "release/money": {"release/money"}, "release/days": {"release/days"},
}
"""Which wings and modules of its own room a wing may import: never what combines the wings."""


def test_every_wing_is_watched() -> None:
    wings = {f"{room}/{path.name}" for room in ("pour", "release") for path in (HOUSE / room).iterdir()
             if (path / "__init__.py").is_file()}
    assert wings == set(WINGS)


@pytest.mark.parametrize("wing", WINGS)
def test_a_wing_imports_only_what_lies_before_it(wing: str) -> None:
    room = wing.split("/")[0]
    for file in _files(wing):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            module = node.module if isinstance(node, ast.ImportFrom) else None
            if module and module.startswith(f"kettlewright.{room}"):
                inside = "/".join(module.split(".")[1:3])
                assert inside in WINGS[wing], f"{file.name} imports {module}"


@pytest.mark.parametrize("room", MATHS)
def test_the_maths_knows_no_web_no_clock_and_no_environment(room: str) -> None:
    for file in _files(room):
        packages = {package for package, _ in _imports(file)}
        assert not packages & (FOREIGN | IMPURE - ({"datetime"} if room in COUNTS_DAYS else set())), file.name


@pytest.mark.parametrize("room", sorted(COUNTS_DAYS))
def test_counting_days_is_no_clock(room: str) -> None:
    clock = {"today", "now", "utcnow", "fromtimestamp", "utcfromtimestamp"}
    for file in _files(room):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        taken = [alias.name for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and node.module == "datetime"
                 for alias in node.names]
        assert set(taken) <= {"date", "timedelta"}, f"{file.name} takes more than days from datetime"
        assert not any(isinstance(node, ast.Import) and any(alias.name == "datetime" for alias in node.names)
                       for node in ast.walk(tree)), file.name
        told = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
        assert not told & clock, f"{file.name} looks at a clock: {told & clock}"


def test_every_room_of_the_house_is_watched() -> None:
    rooms = {path.stem for path in HOUSE.iterdir() if path.suffix == ".py" or (path / "__init__.py").is_file()}
    assert rooms - {"__init__", "app", "settings", "gunicorn_conf", "api"} == set(MAY_IMPORT)


def test_the_client_knows_nothing_of_the_service() -> None:
    files = sorted(Path(kettlewright_client.__file__).parent.rglob("*.py"))
    assert len(files) > 20
    for file in files:
        packages = {package for package, _ in _imports(file)}
        more = {"jsonschema"} if file.name == "request_check.py" else set()  # an extra, for tests
        assert packages - sys.stdlib_module_names <= {"kettlewright_client", "requests", *more}, file.name
