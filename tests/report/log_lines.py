"""Lines of an access log as the service writes them."""

from __future__ import annotations

import json
import logging
from datetime import timedelta
from types import SimpleNamespace
from typing import Any

from kettlewright.api.door.access_record import RECORD, AccessRecord
from kettlewright.api.door.logs import JsonLines, RequestLog

__all__ = ["line", "line_of_the_service"]


def line(**fields: Any) -> bytes:
    """A request, with some fields otherwise (`fields`); None leaves one out."""
    record = {"level": "INFO", "logger": "gunicorn.access", "message": "request",
              "time": "2026-11-05T10:00:00.000000+00:00", "request_id": "r1", "traceparent": None,
              "key_name": "mill-lane", "method": "POST", "path": "/v1/lye", "operation": "lye", "status": 200,
              "milliseconds": 4.0, "cpu_milliseconds": 2.5, "request_bytes": 200, "reply_bytes": 5000, **fields}
    return json.dumps({name: value for name, value in record.items() if value is not None}).encode() + b"\n"


def line_of_the_service(operation: str, key_name: str, milliseconds: float, cpu_seconds: float) -> bytes:
    """A request as the service's own logger writes it (`operation`, `key_name`, `milliseconds`, `cpu_seconds`)."""
    kept: list[str] = []

    class Keeper(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            kept.append(JsonLines().format(record))

    log = RequestLog.__new__(RequestLog)
    log.access_log = logging.Logger("gunicorn.access")
    log.access_log.addHandler(Keeper())
    record = AccessRecord()
    record.operation, record.key_name, record.request_bytes = operation, key_name, 321
    record.add_cpu(cpu_seconds)
    log.access(SimpleNamespace(status="200 OK", headers=[("X-Request-ID", "r2")], sent=4321), None,
               {"REQUEST_METHOD": "POST", "RAW_URI": "/v1/lye", RECORD: record}, timedelta(milliseconds=milliseconds))
    return kept[0].encode() + b"\n"
