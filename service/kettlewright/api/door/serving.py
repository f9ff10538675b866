"""Serves the operations over HTTP: reads the body or the address, runs the operation, gives the reply in its form."""

from __future__ import annotations

import socket
from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from flask import Flask, Response, request
from marshmallow import ValidationError

from kettlewright.api.door.access_record import current_record
from kettlewright.api.door.address import Pairs, read_address
from kettlewright.api.door.field_errors import errors_at
from kettlewright.api.door.gate import without_key
from kettlewright.api.door.operations import JSON_TYPE, OPERATIONS, Operation, run
from kettlewright.api.door.problems import Problem, wrong_input
from kettlewright.api.door.replies import PROBLEM, problem_reply, read_form, reply_in, single
from kettlewright.api.door.slots import Slots, heavy_slots
from kettlewright.api.door.strict_json import read_object
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.settings import Settings

__all__ = ["register_operations"]


def register_operations(app: Flask, settings: Settings) -> None:
    """Give an app all operations (`app`, `settings`)."""
    slots = Slots(heavy_slots(settings.threads), settings.heavy_seconds)
    app.extensions["kettlewright_slots"] = slots
    for found in OPERATIONS.values():
        app.add_url_rule(found.path.replace("{", "<").replace("}", ">"), endpoint=found.name,
                         view_func=_endpoint(found, settings, slots), methods=[found.method])


def _endpoint(found: Operation, settings: Settings, slots: Slots) -> Callable[..., Response]:
    def endpoint(**parts: str) -> Response:
        form, pairs = read_form(found, read_address(without_key(request.query_string)))
        # the body is read before a slot is taken, so that a slow sender holds none
        sent = _body(settings) if found.method == "POST" else b""

        def document() -> dict[str, Any]:
            return _document(found, pairs, parts, sent, settings)

        def reply() -> Response:
            return problem_reply(found, document) if form.field == PROBLEM else reply_in(found, form, document())

        if not found.heavy:
            return reply()
        return slots.run(reply, gone=partial(_gone, request.environ.get("gunicorn.socket")),
                         spend=current_record().add_cpu)

    return endpoint


def _gone(connection: socket.socket | None) -> bool:
    """Whether the caller has closed the connection."""
    if connection is None:
        return False
    try:
        return connection.recv(1, socket.MSG_PEEK | socket.MSG_DONTWAIT) == b""
    except BlockingIOError:
        return False
    except OSError:
        return True


def _document(found: Operation, pairs: Pairs, parts: Mapping[str, str], sent: bytes,
              settings: Settings) -> dict[str, Any]:
    if found.method == "POST":
        if pairs:
            raise errors_at(dict(pairs), "unknown_field", "is not known in this address; put it into the body.")
        return run(found, read_object(sent), parts)
    if request.content_length or "Transfer-Encoding" in request.headers:
        raise Problem(400, "A GET has no body here, and this one has one. Send the body as POST, or leave it out.")
    if found.link is None:
        if pairs and found.query is None:
            raise errors_at(dict(pairs), "unknown_field", "is not known in this address.")
        return run(found, dict(single(pairs)), parts)
    made = found.link.read(pairs, limit_bytes=settings.max_body_bytes)
    try:
        return run(found, made.body, parts)
    except (ValidationError, DomainError, DomainErrors) as error:
        raise wrong_input(error, made.place) from None


def _cut_short() -> Problem:
    return Problem(400, "The body ends before it is whole: it is shorter than its Content-Length, or its chunks are "
                        "broken. Send it again.")


def _body(settings: Settings) -> bytes:
    given = request.mimetype_params.get("charset", "utf-8").lower()
    if request.mimetype != JSON_TYPE or given not in ("utf-8", "utf8") or "Content-Encoding" in request.headers:
        raise Problem(415, f"Send Content-Type: {JSON_TYPE}, in UTF-8 and not compressed.")
    limit = settings.max_body_bytes
    too_large = Problem(413, f"The body is larger than {limit:,} bytes; send a smaller one.")
    if (request.content_length or 0) > limit:
        raise too_large
    try:
        # a chunked body has no length: reading one byte over the limit shows that it is too large
        body = request.stream.read(limit + 1)
    except Exception:  # what a server raises on a broken body is its own, and none of it is our failure
        raise _cut_short() from None
    current_record().request_bytes = len(body)
    if len(body) > limit:
        raise too_large
    if len(body) < (request.content_length or 0):
        raise _cut_short()
    return body
