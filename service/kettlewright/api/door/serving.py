"""Serves the operations over HTTP: reads the body or the address, runs the operation, gives the reply in its form."""

from __future__ import annotations

import io
import socket
from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from flask import Flask, Response, request
from marshmallow import ValidationError

from kettlewright.api.door.access_record import current_record
from kettlewright.api.door.address import Pairs, read_address
from kettlewright.api.door.encoding import encoded
from kettlewright.api.door.field_errors import errors_at
from kettlewright.api.door.gate import without_key
from kettlewright.api.door.operations import JSON_TYPE, LINES_TYPE, OPERATIONS, Operation, run
from kettlewright.api.door.problems import Problem, problem_json, wrong_input
from kettlewright.api.door.replies import PROBLEM, may_be_kept, not_changed, problem_reply, read_form, reply_in, single
from kettlewright.api.door.slots import Slots, slots_of_worker
from kettlewright.api.door.streaming import accept_lines, streamed
from kettlewright.api.door.strict_json import read_object
from kettlewright.api.door.tags import is_held, service_version, tag_of
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.settings import Settings

__all__ = ["register_operations"]


def register_operations(app: Flask, settings: Settings) -> None:
    """Give an app all operations (`app`, `settings`)."""
    slots = slots_of_worker(settings.threads, settings.heavy_seconds)
    app.extensions["kettlewright_slots"] = slots
    service_version()  # reads every file, which no request should wait for
    for found in OPERATIONS.values():
        app.add_url_rule(found.path.replace("{", "<").replace("}", ">"), endpoint=found.name,
                         view_func=_endpoint(found, settings, slots), methods=[found.method])


def _endpoint(found: Operation, settings: Settings, slots: Slots) -> Callable[..., Response]:
    def endpoint(**parts: str) -> Response:
        if found.many and request.mimetype == LINES_TYPE:
            return _many(found, parts, settings, slots)
        form, pairs = read_form(found, read_address(without_key(request.query_string)))
        # the body is read before a slot is taken, so that a slow sender holds none
        sent = _body(settings) if found.method == "POST" else _no_body()
        tag = tag_of(found.name, form, parts, pairs) if may_be_kept(found) else None
        if tag is not None and is_held(tag):
            return not_changed(found, form, tag)

        def document() -> dict[str, Any]:
            return _document(found, pairs, parts, sent, settings)

        def reply() -> Response:
            return (problem_reply(found, document, tag) if form.field == PROBLEM else
                    reply_in(found, form, document(), tag))

        if not found.heavy:
            return reply()
        return slots.run(reply, gone=partial(_gone, request.environ.get("gunicorn.socket")),
                         spend=current_record().add_cpu)

    return endpoint


def _many(found: Operation, parts: Mapping[str, Any], settings: Settings, slots: Slots) -> Response:
    """The response to a body of NDJSON: a reply for each line."""
    pairs = read_address(without_key(request.query_string))
    if pairs:
        raise errors_at(dict(pairs), "unknown_field", f"is not known with a body of {LINES_TYPE}.")
    accept_lines()
    limit, gone = settings.max_body_bytes, partial(_gone, request.environ.get("gunicorn.socket"))
    length = request.content_length
    if length is not None and length <= limit:
        # read whole, so that a slow sender holds no slot, and one that reads no reply before it has sent all is served
        read: Callable[[int], bytes] = io.BytesIO(_body(settings, LINES_TYPE)).read
    else:
        _check_type(LINES_TYPE)
        read = _pieces(length)
    held = slots.hold()
    record = current_record()

    def answer(line: bytes) -> bytes:
        def reply() -> bytes:
            return encoded(run(found, read_object(line), parts))

        try:
            record.count_line()
            if len(line) > limit:
                raise _too_large("line", limit)
            return held.run(reply, gone=gone, spend=record.add_cpu)
        except Exception as error:  # a problem of one line is its reply
            return problem_json(error)

    return streamed(read, answer, held, limit=limit, stopping=slots.stopping)


def _pieces(length: int | None) -> Callable[[int], bytes]:
    """What reads the body in pieces (`length`: its Content-Length)."""
    taken = 0
    record = current_record()

    def read(size: int) -> bytes:
        nonlocal taken
        piece = _read(size)
        taken += len(piece)
        record.request_bytes = taken
        if not piece and taken < (length or 0):
            raise _cut_short()
        return piece

    return read


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
    if found.link is None:
        if pairs and found.query is None:
            raise errors_at(dict(pairs), "unknown_field", "is not known in this address.")
        return run(found, dict(single(pairs)), parts)
    made = found.link.read(pairs, limit_bytes=settings.max_body_bytes)
    try:
        return run(found, made.body, parts)
    except (ValidationError, DomainError, DomainErrors) as error:
        raise wrong_input(error, made.place) from None


def _no_body() -> bytes:
    if request.content_length or "Transfer-Encoding" in request.headers:
        raise Problem(400, "A GET has no body here, and this one has one. Send the body as POST, or leave it out.")
    return b""


def _read(size: int) -> bytes:
    """The next bytes of the body, at most so many (`size`)."""
    try:
        return request.stream.read(size)
    except Exception:  # what a server raises on a broken body is its own, and none of it is our failure
        raise _cut_short() from None


def _cut_short() -> Problem:
    return Problem(400, "The body ends before it is whole: it is shorter than its Content-Length, or its chunks are "
                        "broken. Send it again.")


def _check_type(media_type: str) -> None:
    if request.content_type == media_type and "HTTP_CONTENT_ENCODING" not in request.environ:
        return  # as nearly all are; the rest is read in full
    given = request.mimetype_params.get("charset", "utf-8").lower()
    if request.mimetype != media_type or given not in ("utf-8", "utf8") or "Content-Encoding" in request.headers:
        raise Problem(415, f"Send Content-Type: {media_type}, in UTF-8 and not compressed.")


def _too_large(what: str, limit: int) -> Problem:
    return Problem(413, f"The {what} is larger than {limit:,} bytes; send a smaller one.")


def _body(settings: Settings, media_type: str = JSON_TYPE) -> bytes:
    _check_type(media_type)
    limit = settings.max_body_bytes
    length = request.content_length or 0
    if length > limit:
        raise _too_large("body", limit)
    body = _read(limit + 1)  # a chunked body has no length: one byte over the limit shows that it is too large
    current_record().request_bytes = len(body)
    if len(body) > limit:
        raise _too_large("body", limit)
    if len(body) < length:
        raise _cut_short()
    return body
