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
OPERATIONS = [(path, method, told) for path, item in DOCUMENT["paths"].items() for method, told in item.items()
              if told["tags"] != ["service"] and not told["operationId"].endswith("_by_link")]


@pytest.mark.parametrize(("path", "method", "told"), OPERATIONS, ids=[told["operationId"] for *_, told in OPERATIONS])
def test_every_operation_has_lines_to_copy_that_name_it(path: str, method: str, told: dict[str, Any]) -> None:
    blocks = dict(re.findall(r"```(\w+)\n(.*?)\n```", told["description"], re.DOTALL))
    assert f"http://127.0.0.1:8000{path.replace('{key}', 'olive')}" in blocks["sh"]
    method_of_client = re.search(r"client\.(\w+)\(", blocks["python"])
    assert method_of_client is not None
    assert hasattr(Client, method_of_client[1])
    assert method_of_client[1] == told["operationId"]
    compile(blocks["python"], told["operationId"], "exec")
    assert ("text" in blocks) == (told["operationId"] in CELLS)


@pytest.mark.parametrize("name", CELLS)
def test_every_cell_is_answered_with_one_figure_or_word(name: str) -> None:
    reply = create_app().test_client().get(CELLS[name])
    assert reply.status_code == 200, reply.text
    assert reply.mimetype == "text/plain"
    assert "\n" not in reply.text
    told = next(one for _, _, one in OPERATIONS if one["operationId"] == name)
    assert CELLS[name] in told["description"]
    if "NUMBERVALUE" in told["description"]:
        assert json.loads(reply.text) > 0
