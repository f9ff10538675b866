"""Short ways to post a body and to read the reply or its errors."""

from __future__ import annotations

from typing import Any

from flask.testing import FlaskClient


def reply_to(client: FlaskClient, path: str, body: dict[str, Any], status: int = 200) -> dict[str, Any]:
    reply = client.post(path, json=body)
    assert reply.status_code == status, reply.text
    assert reply.json is not None
    return dict(reply.json)


def errors_of(client: FlaskClient, path: str, body: dict[str, Any]) -> dict[str, str]:
    return {error["pointer"]: error["detail"] for error in reply_to(client, path, body, 422)["errors"]}
