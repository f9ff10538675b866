"""The same calculations behind FastAPI, pydantic and uvicorn.

    uvicorn twin:app

It shares our maths, strict JSON, units, reply documents and log lines; routes, HTTP, checks of the request and of the
reply are those of the other framework. Only right requests are answered properly: a benchmark sends nothing else.
"""

from __future__ import annotations

import logging
import sys
import time
import uuid
from collections.abc import Callable
from typing import Any

from fastapi import FastAPI, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import HTMLResponse
from kettlewright.api.door.logs import JsonLines, plain_path
from kettlewright.api.door.operations import OPERATIONS, Operation
from kettlewright.api.door.strict_json import read_object
from kettlewright.app import create_app
from pydantic import TypeAdapter
from twin_models import reply_model, request_type

__all__ = ["app"]

create_app()  # loads all operations
app = FastAPI(openapi_url=None)
_log = logging.getLogger("twin.access")
_handler = logging.StreamHandler(sys.stdout)
_handler.setFormatter(JsonLines())
_log.addHandler(_handler)
_log.setLevel(logging.INFO)
_log.propagate = False


def _calculation(found: Operation) -> Callable[[bytes], dict[str, Any]]:
    schema = found.request
    assert schema is not None
    adapter = TypeAdapter(request_type(schema))

    def calculate(sent: bytes) -> dict[str, Any]:
        body = read_object(sent)
        with schema.governing(body):
            loaded = adapter.validate_python(body)
            more = {"request_body": body} if found.named_by_body else {}
            result = found.view(**loaded, **more)
            if found.self_link is not None:
                result = {**result, "links": found.self_link(body)}
            return found.dump(result)

    return calculate


def _serve(found: Operation) -> None:
    calculate = _calculation(found)

    @app.post(found.path, name=found.name, response_model=reply_model(found.response),
              response_model_exclude_unset=True)
    async def serve(request: Request) -> Any:
        sent = await request.body()
        document = await run_in_threadpool(calculate, sent) if found.heavy else calculate(sent)
        if "html" in found.faces and "text/html" in request.headers.get("accept", ""):
            return HTMLResponse(found.faces["html"].render(document))
        return document


class _Logged:
    """A log line for each request, and the headers that every reply of ours has."""

    def __init__(self, inner: Any) -> None:
        self.inner = inner

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        if scope["type"] != "http":
            await self.inner(scope, receive, send)
            return
        begun, status, request_id = time.perf_counter(), 0, uuid.uuid4().hex

        async def with_headers(message: Any) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
                message["headers"] += [(b"x-request-id", request_id.encode()), (b"x-content-type-options", b"nosniff")]
            await send(message)

        await self.inner(scope, receive, with_headers)
        _log.info("request", extra={
            "request_id": request_id, "method": scope["method"], "path": plain_path(scope["path"]), "status": status,
            "milliseconds": round((time.perf_counter() - begun) * 1000, 3)})


for _name in ("lye", "batches"):
    _serve(OPERATIONS[_name])
app.add_middleware(_Logged)
