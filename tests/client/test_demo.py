"""`make demo`: what it prints for the invented batches can be followed at the bench."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[2] / "client" / "examples"


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("sheets")
    run = subprocess.run([sys.executable, EXAMPLES / "demo.py", folder], capture_output=True, text=True, timeout=120,
                         check=True)
    assert {file.name for file in folder.iterdir()} == {"kiln_dusk.html", "ember_round.html"}
    return run.stdout


def test_the_log_of_the_service_is_not_between_the_lines(printed: str) -> None:
    assert not [line for line in printed.splitlines() if line.startswith("{")]


def test_buckets_and_bars_have_their_unit(printed: str) -> None:
    buckets = re.findall(r"bucket of (.*?),", printed)
    portions = [json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8")).get("portions", [])
                for name in ("kiln_dusk", "ember_round")]
    assert len(buckets) == sum(map(len, portions))
    for bucket in buckets:
        assert re.fullmatch(r"[1-9]\d* g", bucket), bucket
    for bar in re.findall(r"a cured bar: (.*)", printed):
        assert re.fullmatch(r"[1-9]\d* g \(\d+ to \d+\)", bar), bar
