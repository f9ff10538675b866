"""The arrows of the house point one way: a room imports only what lies before it."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import kettlewright
import kettlewright_client
import kettlewright_shelf
import pytest

HOUSE = Path(kettlewright.__file__).parent
GROUND = {"curing", "errors", "identity", "knapsack", "limits", "ranges", "names", "digits", "money", "prices", "said",
          "amounts", "settling", "least", "copies"}
MAY_IMPORT = {
    "errors": set(), "limits": {"errors", "amounts", "said"}, "ranges": {"errors", "said"}, "names": set(),
    "digits": set(), "held": set(), "copies": set(),
    "identity": {"digits"},
    "knapsack": set(), "settling": set(), "least": set(),
    "money": {"errors", "names"}, "prices": {"errors", "limits", "money"},
    "amounts": {"copies"}, "said": {"amounts"}, "curing": {"errors", "said"},
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


COUNTS_DAYS = {"release", "actuals"}  # calendar dates are values like any other; the day of today comes in from outside


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


SOAP = {"recipe", "pour", "release", "plan", "actuals", "cautions", "reference", "weigh_list", "prices", "curing",
        "views"}
API = {"door": {"door"}, "links": {"door", "links"}, "parts": {"door", "links", "parts"},
       "coop": {"door", "parts", "coop"},
       "endpoints": {"door", "links", "parts", "endpoints"}, "document": {"door", "document", "endpoints"}}
"""Which wings of the API each of them may import."""
KNOW_NO_SOAP = {"door", "links", "document"}
COMPOSED = {"batches": {"cuts", "fades", "portions"}, "labels": {"batches"}, "costs": {"batches"},
            "actuals": {"batches", "cure", "portions"}, "rebatches": {"actuals", "batches", "cuts", "portions"}}
"""Endpoints whose requests and responses contain those of others."""


def _modules(path: Path) -> Iterator[str]:
    """Every module of ours that the files below a path import, with dots."""
    for file in sorted(path.rglob("*.py")) if path.is_dir() else [path]:
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] == "kettlewright":
                yield node.module
                yield from (f"{node.module}.{alias.name}" for alias in node.names)
            elif isinstance(node, ast.Import):
                yield from (alias.name for alias in node.names)


def test_every_wing_of_the_api_is_watched() -> None:
    assert {path.name for path in (HOUSE / "api").iterdir() if (path / "__init__.py").is_file()} == set(API)
    assert not [path for path in (HOUSE / "api").glob("*.py") if path.name != "__init__.py"]


@pytest.mark.parametrize("wing", API)
def test_a_wing_of_the_api_imports_only_what_lies_before_it(wing: str) -> None:
    steps = [module.split(".") for module in _modules(HOUSE / "api" / wing)]
    wings = {step[2] for step in steps if step[:2] == ["kettlewright", "api"] and len(step) > 2}
    assert wings <= API[wing], wings - API[wing]
    if wing in KNOW_NO_SOAP:
        rooms = {step[1] for step in steps if step[0] == "kettlewright" and len(step) > 1}
        assert not rooms & SOAP, f"api/{wing} imports {rooms & SOAP}"


def test_an_endpoint_imports_another_only_where_it_contains_it() -> None:
    for path in sorted((HOUSE / "api" / "endpoints").iterdir()):
        if path.stem in ("__init__", "examples", "__pycache__"):
            continue
        steps = [module.split(".") for module in _modules(path)]
        others = {step[3] for step in steps if step[:3] == ["kettlewright", "api", "endpoints"] and len(step) > 3}
        assert others <= {path.stem} | COMPOSED.get(path.stem, set()), f"{path.name} imports {others}"


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
        attributes = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
        assert not attributes & clock, f"{file.name} looks at a clock: {attributes & clock}"


def test_every_room_of_the_house_is_watched() -> None:
    rooms = {path.stem for path in HOUSE.iterdir() if path.suffix == ".py" or (path / "__init__.py").is_file()}
    beside = {"__init__", "app", "settings", "gunicorn_conf", "compare", "keys", "report", "check_data", "api"}
    assert rooms - beside == set(MAY_IMPORT)


def test_the_client_knows_nothing_of_the_service() -> None:
    files = sorted(Path(kettlewright_client.__file__).parent.rglob("*.py"))
    assert len(files) > 20
    for file in files:
        packages = {package for package, _ in _imports(file)}
        more = {"jsonschema"} if file.name == "request_check.py" else set()  # extras
        more |= {"httpx"} if file.name.startswith("async_") else set()
        more |= {"pandas"} if file.name in ("record.py", "sweep.py") else set()
        assert packages - sys.stdlib_module_names <= {"kettlewright_client", "requests", *more}, file.name


def test_the_shelf_knows_only_the_client() -> None:
    files = sorted(Path(kettlewright_shelf.__file__).parent.rglob("*.py"))
    assert len(files) >= 8
    for file in files:
        packages = {package for package, _ in _imports(file)}
        assert packages - sys.stdlib_module_names <= {"kettlewright_client", "kettlewright_shelf"}, file.name
