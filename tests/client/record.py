"""Writes what the client's stub knows: what the service replies, in process, to invented requests.

    python tests/client/record.py

One request for each operation, the first of its examples in the contract (of batches the last, since a calendar needs
days), in every form the client knows of it.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from kettlewright.app import create_app
from kettlewright_client.operations import MEDIA_TYPES, OPERATIONS

ROOT = Path(__file__).parents[2]
FILE = ROOT / "client" / "kettlewright_client" / "recorded.json"
EXAMPLES = ROOT / "service" / "kettlewright" / "api" / "endpoints" / "examples"


def record() -> dict[str, Any]:
    """Bodies and replies, by operation."""
    service, found = create_app().test_client(), {}
    for name, operation in OPERATIONS.items():
        body = None
        if operation.method == "POST":
            examples = json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))
            body = examples[-1 if name == "batches" else 0]["body"]
        replies: dict[str, Any] = {}
        for form in ("json", *operation.forms):
            reply = service.open(operation.path.replace("{key}", "olive"), method=operation.method, json=body,
                                 query_string={"search": "olive"} if name == "fats" else {},
                                 headers={"Accept": MEDIA_TYPES[form]})
            assert reply.status_code == 200, reply.text
            replies[form] = reply.json if form == "json" else reply.text
        found[name] = {"body": body, "replies": replies}
    return found


def written(found: dict[str, Any]) -> str:
    """As it is in the file: a line for each operation, so that a change shows where it is."""
    lines = ",\n".join(f"{json.dumps(name)}: {json.dumps(entry, ensure_ascii=False)}" for name, entry in found.items())
    return "{\n" + lines + "\n}\n"


if __name__ == "__main__":
    FILE.write_text(written(record()), encoding="utf-8")
