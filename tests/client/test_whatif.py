"""The example of a sweep: its table has a row for each combination, and the trends that any maker would expect."""

from __future__ import annotations

import csv
import sys
from decimal import Decimal
from pathlib import Path

import pytest
from client.in_process import in_process, over
from kettlewright.app import create_app

EXAMPLES = Path(__file__).parents[2] / "client" / "examples"


def test_the_table_of_the_example(tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
                                  capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.syspath_prepend(str(EXAMPLES))
    import whatif
    client, _ = over(in_process(create_app().test_client()))
    assert whatif.main([str(tmp_path / "new" / "table.csv")], client=client) == 0
    rows = list(csv.DictReader((tmp_path / "new" / "table.csv").open(encoding="utf-8", newline="")))
    assert [(row["recipe.superfat_pct"], row["recipe.water.lye_concentration_pct"]) for row in rows] == [
        (superfat, strength) for superfat in "357" for strength in ("29", "32", "35")]
    assert {row["problem"] for row in rows} == {""}
    for row in rows:  # the lower edge of the superfat is below the superfat; a stronger lye gets hotter
        assert float(row["lye.superfat.likely_pct.min"]) < float(row["recipe.superfat_pct"])
        assert Decimal(row["cost.bar.total.amount"]) > 0
        assert int(row["cuts.bars.count"]) > 0
    heat = [float(row["lye.solution.peak_temperature.max"]) for row in rows]
    assert heat[0] < heat[1] < heat[2]
    assert len(capsys.readouterr().out.splitlines()) == 10
    sys.modules.pop("whatif", None)
