"""Scripts of a user in a type checker: each misspelt name is an error, and nothing else is. One run for both files.

`make test-types` does the same with pyright (check_pyright.py), which needs Node.js.
"""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).parent
WRONG, RIGHT = HERE / "misspelt.py", HERE / "well_typed.py"


def marked() -> dict[int, str]:
    """The misspelt name of each line that has one."""
    lines = WRONG.read_text(encoding="utf-8").splitlines()
    marks = [(number, re.search(r"# WRONG: (\w+)", line)) for number, line in enumerate(lines, 1)]
    found = {number: mark.group(1) for number, mark in marks if mark}
    assert len(found) == 6
    return found


def test_mypy_finds_the_six_misspelt_names_and_nothing_else(tmp_path: Path) -> None:
    cache = HERE.parents[1] / ".mypy_cache" / "scripts"  # also for the snippets of the README
    run = subprocess.run([sys.executable, "-m", "mypy", "--strict", "--config-file=", f"--cache-dir={cache}",
                          "--no-error-summary", "--hide-error-context", str(WRONG), str(RIGHT)],
                         capture_output=True, text=True, timeout=300, check=False, cwd=tmp_path).stdout
    errors = re.findall(r"^(.*?):(\d+): error: (.*)$", run, re.MULTILINE)
    found = {int(line): words for file, line, words in errors if file.endswith(WRONG.name)}
    assert [file for file, *_ in errors if not file.endswith(WRONG.name)] == [], run
    assert sorted(found) == sorted(marked()), run
    for line in (8, 11):  # mypy knows the nearest of names of arguments and of fields
        assert re.search("did you mean|maybe", found[line]), run
