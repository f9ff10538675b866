"""What can be copied at every operation of the contract: the cells answer, the client's lines run."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from kettlewright.api.document.openapi import document
from kettlewright.api.document.snippets import CELLS
from kettlewright.app import create_app
from kettlewright_client import Client

DOCUMENT = document()
OPERATIONS = [(path, method, entry) for path, item in DOCUMENT["paths"].items() for method, entry in item.items()
              if entry["tags"] != ["service"] and not entry["operationId"].endswith("_by_link")]


@pytest.mark.parametrize(("path", "method", "entry"), OPERATIONS, ids=[one["operationId"] for *_, one in OPERATIONS])
def test_every_operation_has_lines_to_copy_that_name_it(path: str, method: str, entry: dict[str, Any]) -> None:
    blocks = dict(re.findall(r"```(\w+)\n(.*?)\n```", entry["description"], re.DOTALL))
    assert f"http://127.0.0.1:8000{path.replace('{key}', 'olive')}" in blocks["sh"]
    method_of_client = re.search(r"client\.(\w+)\(", blocks["python"])
    assert method_of_client is not None
    assert hasattr(Client, method_of_client[1])
    assert method_of_client[1] == entry["operationId"]
    compile(blocks["python"], entry["operationId"], "exec")
    assert ("text" in blocks) == (entry["operationId"] in CELLS)


@pytest.mark.parametrize("name", CELLS)
def test_every_cell_is_answered_with_one_figure_or_word(name: str) -> None:
    reply = create_app().test_client().get(CELLS[name])
    assert reply.status_code == 200, reply.text
    assert reply.mimetype == "text/plain"
    assert "\n" not in reply.text
    entry = next(one for _, _, one in OPERATIONS if one["operationId"] == name)
    assert CELLS[name] in entry["description"]
    if "NUMBERVALUE" in entry["description"]:
        assert json.loads(reply.text) > 0
