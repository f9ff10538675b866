"""All generated files."""

from __future__ import annotations

from pathlib import Path

from generate.contract import read_contract
from generate.inputs import input_module
from generate.methods import methods_module
from generate.requests import requests_file
from generate.results import result_modules
from generate.table import table_module
from generate.text import HEAD

__all__ = ["GENERATED", "generated_files"]

GENERATED = Path("client/kettlewright_client/generated")


def generated_files(contract: Path) -> dict[str, str]:
    """Text of every generated file.

    Parameters
    ----------
    contract : Path
        openapi.yaml. [file]

    Returns
    -------
    dict of str : by path below `GENERATED`. [text]
    """
    found = read_contract(contract)
    files = {f"results/{name}": text for name, text in result_modules(found).items()}
    return {"__init__.py": f'"""Code made from the contract. {HEAD}"""\n\n__all__: list[str] = []\n',
            "table.py": table_module(found),
            "inputs.py": input_module(found), "requests.json": requests_file(found),
            "methods.py": methods_module(found, waits=False),
            "async_methods.py": methods_module(found, waits=True), **files}
