"""The log: one line of JSON for each record, on one stream, with times in ISO 8601 (UTC).

Nothing a sender wrote gets in but the method and the path, percent-encoded: no query, no body, no header but the
request id and a valid `traceparent`, and of an unexpected error its kind and place but not its words, which may quote a
recipe.
"""

from __future__ import annotations

import json
import logging
import re
import traceback
from collections.abc import Callable, Mapping
from datetime import timedelta
from functools import cache
from typing import Any, ClassVar

from gunicorn.glogging import Logger
from pythonjsonlogger.orjson import OrjsonFormatter

from kettlewright.api.door.access_record import RECORD, AccessRecord
from kettlewright.keys import KEY_TEXT
from kettlewright.settings import read_settings

__all__ = ["JsonLines", "RequestLog", "log_settings", "plain_path"]

_PATH_MAX = 200
_PROBES = ("/healthz", "/readyz")
_SENT = re.compile(r"[?'\"].*", re.DOTALL)  # gunicorn quotes what it could not read, and the whole address
_PLAIN = re.compile(r"[^A-Za-z0-9/_.~%:@!$&()*+,;=-]")


class JsonLines(OrjsonFormatter):
    """A record as a line of JSON, in ASCII."""

    def __init__(self) -> None:
        super().__init__("{levelname}{name}{message}", style="{", timestamp="time",
                         rename_fields={"levelname": "level", "name": "logger"})

    def format(self, record: logging.LogRecord) -> str:
        """The line of a record; of the server's own only what it says itself (`record`)."""
        if record.name == "gunicorn.error":
            record = logging.makeLogRecord({**record.__dict__, "msg": _SENT.sub("...", record.getMessage()),
                                            "args": ()})
        if not record.getMessage().isascii():  # what half of a character was may be in it, which has no UTF-8
            record = logging.makeLogRecord({**record.__dict__, "args": (), "msg": record.getMessage().encode(
                "utf-8", "backslashreplace").decode()})
        line = super().format(record)
        if not line.isascii():
            line = json.dumps(json.loads(line))
        return KEY_TEXT.sub(r"\1...", line)  # somebody may take a key for a path or an id

    def formatException(self, ei: Any) -> str:  # its name in the standard library
        """Kind and place of an error, and of those it came from (`ei`: as of sys.exc_info)."""
        found: list[str] = []
        error = ei[1]
        while error is not None and len(found) < 8:
            frames = [f"{frame.filename}:{frame.lineno} {frame.name}"
                      for frame in traceback.extract_tb(error.__traceback__)]
            found.append(f"{type(error).__module__}.{type(error).__qualname__} at {' > '.join(frames) or 'unknown'}")
            error = error.__cause__ or error.__context__
        return "; after ".join(found)


@cache
def _log_probes() -> bool:
    return read_settings().log_probes


def plain_path(address: str) -> str:
    """The path of an address, in characters that cannot break a line or a quotation (`address`). [percent-encoded]"""
    path = re.split(r"[?#]", address, maxsplit=1)[0]
    return _PLAIN.sub(lambda found: "".join(f"%{byte:02X}" for byte in found[0].encode("utf-8", "replace")),
                      path)[:_PATH_MAX]


class RequestLog(Logger):
    """gunicorn's logger, with its requests as fields."""

    count: ClassVar[Callable[[str | None, int, float, float, int], None] | None] = None
    """What counts each request, probes too: operation, status, seconds, CPU seconds, bytes of the reply. [function]"""

    def access(self, resp: Any, req: Any, environ: Mapping[str, Any], request_time: timedelta) -> None:
        """Log a request (`resp`, `req`, `environ`: gunicorn's own; `request_time`); probes only where they failed."""
        status = int(str(resp.status).split(maxsplit=1)[0])
        record = environ.get(RECORD) or AccessRecord()  # gunicorn itself answers what it cannot read
        if RequestLog.count is not None:
            RequestLog.count(record.operation, status, request_time.total_seconds(), record.cpu_seconds, resp.sent)
        path = plain_path(str(environ.get("RAW_URI") or environ.get("PATH_INFO", "")))
        if path in _PROBES and status < 400 and not _log_probes():
            return
        ids = [value for name, value in resp.headers if name.lower() == "x-request-id"]
        self.access_log.info("request", extra={
            "request_id": ids[0] if ids else None, "traceparent": record.traceparent, "key_name": record.key_name,
            "method": str(environ.get("REQUEST_METHOD", ""))[:20], "path": path, "operation": record.operation,
            "status": status, "milliseconds": round(request_time.total_seconds() * 1000, 3),
            "cpu_milliseconds": round(record.cpu_seconds * 1000, 3), "request_bytes": record.request_bytes,
            "reply_bytes": resp.sent})


def log_settings(level: str) -> dict[str, Any]:
    """What gunicorn passes to `logging.config.dictConfig` (`level`: debug, info, warning or error)."""
    return {
        "version": 1, "disable_existing_loggers": False,
        "formatters": {"json": {"()": JsonLines}},
        "handlers": {"stream": {"class": "logging.StreamHandler", "formatter": "json", "stream": "ext://sys.stdout"}},
        "root": {"handlers": ["stream"], "level": level.upper()},
        "loggers": {name: {"level": level.upper(), "handlers": ["stream"], "propagate": False}
                    for name in ("gunicorn.error", "gunicorn.access")}}
