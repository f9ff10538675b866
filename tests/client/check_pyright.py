"""The scripts of test_typed_scripts.py in pyright; `make test-types` runs it, because pyright needs Node.js."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

from client.test_typed_scripts import HERE, RIGHT, WRONG, marked


def test_pyright_finds_the_six_misspelt_names_and_nothing_else() -> None:
    run = subprocess.run([sys.executable, "-m", "pyright", "--outputjson", "--pythonpath", sys.executable, str(WRONG),
                          str(RIGHT)], capture_output=True, text=True, timeout=300, check=False, cwd=HERE).stdout
    errors = [one for one in json.loads(run)["generalDiagnostics"] if one["severity"] == "error"]
    assert {Path(one["file"]).name for one in errors} == {WRONG.name}, run
    assert {one["range"]["start"]["line"] + 1 for one in errors} >= marked().keys(), run
