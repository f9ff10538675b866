"""Tests mirror the code: each file is named after the module it tests, or is listed here with what it holds."""

from __future__ import annotations

from pathlib import Path

import pytest

TESTS = Path(__file__).parent
ROOT = TESTS.parent
SERVICE = ROOT / "service" / "kettlewright"
ELSEWHERE = {
    "client": ("client/kettlewright_client", "client/generate", "client/examples"),
    "shelf": ("client/shelf/kettlewright_shelf",),
}
"""Folders of code that a room of tests mirrors, where it is not a room of the service."""
BY_SOURCE = {"published", "embed"}
"""Rooms of tests that are named after a source outside, or after a program that opens what is tested."""
TOOLS = {"digest"}
"""Rooms of targets: their modules, and the tests of these, are both in `tests`."""
ACROSS = {
    "api/test_advice_obeyed.py": "advice of the service, followed, leads to what it promised",
    "api/test_bad_input.py": "one mistake after another at every operation",
    "api/test_contract.py": "openapi.yaml against the code",
    "api/test_every_shape.py": "each shape from the request to the picture",
    "api/test_exactly_one.py": "rules between fields, at every schema",
    "api/test_fuzz.py": "made-up requests to every operation",
    "api/test_growth.py": "the work for every list of every body",
    "api/test_gunicorn.py": "the service behind a real server",
    "api/test_keys_under_gunicorn.py": "keys behind a real server",
    "api/test_locale.py": "every reply in every language",
    "api/test_many_errors.py": "the size of every problem",
    "api/test_names_in_any_script.py": "names in every operation that takes them",
    "api/test_other_processors.py": "the digits of every fit, with the code of an older processor",
    "api/test_pointers.py": "the pointer of every problem",
    "api/test_provenance.py": "the provenance of every figure and text",
    "api/test_replies_are_whole.py": "every reply against its schema",
    "api/test_rows_everywhere.py": "every row on the sheet, in the table, in the client, in costs and purchases",
    "api/test_silent_solvers.py": "the output of every solver",
    "api/test_units_everywhere.py": "every request in other units",
    "api/test_weekdays.py": "every date in JSON and on paper",
    "client/test_faults.py": "both clients against a server that misbehaves",
    "client/test_own_lists.py": "every kind of file that a maker keeps",
    "client/test_refused.py": "both clients against other hosts and sites",
    "client/test_store_scripts.py": "the scripts for a shop, one after the other",
    "client/test_typed_scripts.py": "scripts of a user in a type checker",
    "pages/test_pages_to_check.py": "the pages that a browser looks at",
    "soak/test_soak.py": "the sums of the soak",
    "test_advice.py": "cautions that say what to do, followed",
    "test_arrows.py": "imports between all rooms",
    "test_catalogues.py": "every text in every language",
    "test_class_names.py": "the names of all classes",
    "test_docker_files.py": "files of the container, one against the other",
    "test_docstrings.py": "the docstrings of all rooms",
    "test_element_file.py": "the file of the web element",
    "test_independence.py": "draws of property tests, whatever else is loaded",
    "test_laws.py": "laws of a whole batch",
    "test_mirror.py": "the names of all tests",
    "test_papers.py": "links and file names of all pages",
    "test_pins.py": "what the image installs",
    "test_readme.py": "what the README shows",
    "views/test_numbers_on_paper.py": "every number of every sheet",
}
"""Tests that hold over many modules, and what each holds."""


def _named_after(test: Path) -> bool:
    """Whether there is a module, or a package, of that name where the folder of the test says."""
    room, *wing = test.relative_to(TESTS).parent.parts or ("",)
    folders = [ROOT / one for one in ELSEWHERE.get(room, ())] or [TESTS / room if room in TOOLS else SERVICE / room]
    name = test.stem.removeprefix("test_")
    name = "__main__" if name == "main" else name
    return any((folder.joinpath(*wing) / name).with_suffix(".py").is_file()
               or (folder.joinpath(*wing) / name / "__init__.py").is_file() for folder in folders)


FILES = sorted(file for file in TESTS.rglob("test_*.py") if file.relative_to(TESTS).parts[0] not in BY_SOURCE)


@pytest.mark.parametrize("file", FILES, ids=lambda file: str(file.relative_to(TESTS)))
def test_a_test_is_named_after_its_module_or_listed(file: Path) -> None:
    assert _named_after(file) != (str(file.relative_to(TESTS)) in ACROSS), (
        f"No module for {file.name}: name it after the module it tests, in the folder of that module. "
        "Only a test that holds over many modules is listed in ACROSS; one with a module is not.")


def test_what_is_listed_exists() -> None:
    assert set(ACROSS) <= {str(file.relative_to(TESTS)) for file in FILES}
