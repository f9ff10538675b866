"""A class name of the maths appears once, so that a name says which thing is meant."""

from __future__ import annotations

import ast
from collections import defaultdict
from pathlib import Path

import kettlewright

ROOT = Path(kettlewright.__file__).parent
DOOR = ("api", "views")  # a schema has the name of the dataclass that it reads or shows


def repeated(folder: Path, *, but: tuple[str, ...]) -> dict[str, list[str]]:
    """Class names with the modules that define them, where there are several."""
    homes: dict[str, list[str]] = defaultdict(list)
    for path in sorted(folder.rglob("*.py")):
        if path.relative_to(folder).parts[0] not in but:
            for node in ast.parse(path.read_text(encoding="utf-8")).body:
                if isinstance(node, ast.ClassDef):
                    homes[node.name].append(str(path.relative_to(folder)))
    return {name: found for name, found in homes.items() if len(found) > 1}


def test_a_class_name_of_the_maths_appears_once() -> None:
    assert repeated(ROOT, but=DOOR) == {}


def test_the_check_finds_a_repeated_name(tmp_path: Path) -> None:
    for room, body in (("pour", "class Bucket: ..."), ("release", "class Bucket: ...\nclass Price: ...")):
        (tmp_path / room).mkdir()
        (tmp_path / room / "things.py").write_text(body, encoding="utf-8")
    assert repeated(tmp_path, but=()) == {"Bucket": ["pour/things.py", "release/things.py"]}
    assert repeated(tmp_path, but=("release",)) == {}
