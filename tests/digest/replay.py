"""Requests from a file, sent to whatever version of the service is installed, in process."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any

from flask.testing import FlaskClient
from kettlewright.app import create_app

from digest.draw import Body

__all__ = ["replies"]

_HEADERS = ("Content-Type", "Content-Disposition", "Cache-Control", "Content-Security-Policy", "Vary", "Retry-After")
"""Headers that are a part of the reply, and not of one request or one version."""


@cache
def _client() -> FlaskClient:
    return create_app().test_client()


def replies(requests: Iterable[Body]) -> Iterator[dict[str, Any]]:
    """The reply to each request.

    Parameters
    ----------
    requests : iterable of dict
        As `random_requests` makes them. [requests]

    Yields
    ------
    dict : `number`, `operation`, `path`, `status`, `type`, `headers` and `text` of the reply.
    """
    for one in requests:
        headers = {"Accept": one["accept"]} if "accept" in one else {}
        reply = _client().open(one["path"], method=one["method"], json=one.get("body"), headers=headers)
        yield {"number": one["number"], "operation": one["operation"], "path": one["path"].partition("plan=")[0],
               "status": reply.status_code, "type": reply.mimetype,
               "headers": {name: reply.headers[name] for name in _HEADERS if name in reply.headers},
               "text": reply.get_data(as_text=True)}
