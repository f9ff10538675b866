"""What if: cost of a bar, bars and the lower edge of the superfat, for several superfats and lye concentrations.

    .venv/bin/python client/examples/whatif.py build/whatif.csv

It needs a running service (KETTLEWRIGHT_URL, or http://127.0.0.1:8000). The batch and its prices are invented.
The table shows figures, not advice: a low superfat leaves little room for errors of scales and certificates.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from kettlewright_client import Client, ClientError, Sweep, read_prices

HERE = Path(__file__).resolve().parent
FIGURES = {"cost.bar.total.amount": "cost of a bar", "cuts.bars.count": "bars",
           "lye.superfat.likely_pct.min": "superfat, lower edge [%]",
           "lye.solution.peak_temperature.max": "lye, up to [degC]"}
WORKSHOP = {"labour": {"work_hours": 3.5, "per_hour": {"amount": "18.00", "currency": "EUR"}}, "kept_back_count": 1}


def body() -> dict[str, Any]:
    """The invented batch, with the invented prices. The water rule of the sweep takes the place of its own."""
    found: dict[str, Any] = json.loads((HERE / "kiln_dusk.json").read_text(encoding="utf-8"))
    found["recipe"] = {**found["recipe"], "water": {}}
    found["prices"] = {**WORKSHOP, "ingredients": read_prices(HERE / "invented_prices.csv").ingredients}
    return found


def table(client: Client) -> Sweep:
    """Every combination of three superfats and three concentrations (`client`)."""
    return client.sweep(body(), {"recipe.superfat_pct": [3, 5, 7], "recipe.water.lye_concentration_pct": [29, 32, 35]},
                        figures=list(FIGURES), progress=True)


def main(arguments: Sequence[str] | None = None, *, client: Client | None = None) -> int:
    """Print the table, and write it to a file if one is named (`arguments`, `client` of your own). [exit code]"""
    given = list(sys.argv[1:] if arguments is None else arguments)
    try:
        if client is not None:
            found = table(client)
        else:
            with Client() as own:
                found = table(own)
    except (ClientError, OSError) as error:
        print(error, file=sys.stderr)
        return 2
    print("superfat [%], lye [%]:", *FIGURES.values(), sep="  ")
    for row in found:
        print(*(row[name] for name in found.fields), sep=", ", end=":  ")
        print(*(row[name] for name in found.figures), row["problem"], sep="  ")
    if given:
        Path(given[0]).parent.mkdir(parents=True, exist_ok=True)
        Path(given[0]).write_text(found.to_csv(), encoding="utf-8", newline="")
    return 0


if __name__ == "__main__":
    sys.exit(main())
