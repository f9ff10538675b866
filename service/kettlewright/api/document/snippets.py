"""What to copy at every operation of the contract: a curl, a line of the client, a cell of a spreadsheet."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["CELLS", "snippets_of"]

_HERE = "http://127.0.0.1:8000"
_RECIPE = "superfat_pct=5&alkali=NaOH,purity:99&water=lye_concentration:33"

CELLS: Mapping[str, str] = MappingProxyType({
    "lye": f"/v1/lye?fat=olive,mass:700&fat=coconut,mass:300&{_RECIPE}&field=alkalis.NaOH.weigh",
    "scaling": f"/v1/scaling?fat=olive,share:70&fat=coconut,share:30&{_RECIPE}&mould=box,length:250,width:80,depth:70"
               "&field=lye.alkalis.NaOH.weigh",
    "moulds": "/v1/moulds?mould=box,length:250,width:80,depth:70&field=volume",
    "portions": "/v1/portions?batter=mass:5000,density:1&portion=red,share:40&portion=plain,share:60"
                "&field=portions.red.weigh",
    "cuts": "/v1/cuts?block=length:250,width:80,height:65&bar=thickness:25&kerf=1&field=bars.count",
    "cure": "/v1/cure?dates=release:2027-03-20,cure_days:42&field=dates.pour",
    "fats": "/v1/fats?search=olive&field=fats.olive.saponification_value.min",
    "fat": "/v1/fats/olive?field=saponification_value.min",
    "cautions": "/v1/cautions?field=cautions.lye-hot.severity"})
"""An address that answers one figure or word, by operation. [text]"""

_NUMBERS_NOT = frozenset({"cure", "cautions"})


def snippets_of(name: str, method: str, path: str) -> str:
    """Copyable lines of an operation, in the markup of the contract (CommonMark).

    Parameters
    ----------
    name, method, path : str
        Of the operation. [text]

    Returns
    -------
    str
    """
    where = path.replace("{key}", "olive")
    if method == "POST":
        curl = f"curl -s {_HERE}{where} -H 'Content-Type: application/json' -d @body.json"
        client = f'reply = client.{name}(**json.load(open("body.json")))'
    else:
        curl = f"curl -s {_HERE}{where}"
        client = f'reply = client.{name}({chr(34) + "olive" + chr(34) if "{key}" in path else ""})'
    lines = ["```sh", curl, "```", "", "```python", "from kettlewright_client import Client", "",
             f'with Client("{_HERE}") as client:', f"    {client}", "```"]
    if method == "POST":
        lines.insert(5, "import json")
        lines.insert(0, "`body.json` holds the body, such as the example below.\n")
    if name in CELLS:
        formula = f'WEBSERVICE("{_HERE}{CELLS[name]}")'
        cell = f"={formula}" if name in _NUMBERS_NOT else f'=NUMBERVALUE({formula}, ".", ",")'
        lines += ["", "A cell of a spreadsheet (semicolons where your sheet has them):", "", "```text", cell, "```"]
    elif name == "batches":
        lines += ["", "A cell can request a batch: `links.self` from its response, then `&field=`."]
    elif method == "POST":
        lines += ["", "A cell cannot send this body; a script can, and save the response with `format=csv`."]
    return "\n".join(lines)
