"""What both clients do alike: settings, requests, replies, the log."""

from __future__ import annotations

import logging
import os
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import quote

from kettlewright_client.body import json_bytes, plain
from kettlewright_client.errors import ClientError
from kettlewright_client.forms import read_reply
from kettlewright_client.given import (
    MOST_RETRIES,
    address_shown,
    bearer,
    header_values,
    seconds,
    time_limits,
    whole_number,
)
from kettlewright_client.keywords import check_names, nearest
from kettlewright_client.operations import MEDIA_TYPES, OPERATIONS
from kettlewright_client.reply import BaseResponse, Request
from kettlewright_client.values import Timeout

__all__ = ["DEFAULT_ADDRESS", "DEFAULT_TIMEOUT", "Calls", "Settings", "log_attempt", "settings_of"]

DEFAULT_ADDRESS = "http://127.0.0.1:8000"
DEFAULT_TIMEOUT = (3.05, 10.0)
_log = logging.getLogger("kettlewright_client")


@dataclass(frozen=True, slots=True)
class Settings:
    """What a client was made with.

    Parameters
    ----------
    base_url, address : str
        Address of the service, and the same for messages, without a password. [URL]
    key : str
        Value of Authorization; "" without a key. [text]
    timeout : tuple of float
        To connect, and between two parts of a reply. [s]
    retries : int
        How often a request may be repeated. [times]
    patience : float
        Limit for a whole call. [s]
    """

    base_url: str
    address: str
    key: str = field(repr=False)
    timeout: tuple[float, float]
    retries: int
    patience: float


def settings_of(base_url: str | None, key: str | None, timeout: Timeout, retries: int, patience: float) -> Settings:
    """Check the arguments of a client, and read the environment for what is not given.

    Parameters
    ----------
    base_url, key : str, optional
        Address, and key. The key of the environment is only sent to the address of the environment. [text]
    timeout, patience : float
        Time limits. [s]
    retries : int
        How often a request may be repeated. [times]

    Returns
    -------
    Settings

    Raises
    ------
    ClientError : one is not valid.
    """
    if base_url is None:
        key = key or os.environ.get("KETTLEWRIGHT_KEY")
        base_url = os.environ.get("KETTLEWRIGHT_URL") or DEFAULT_ADDRESS
    return Settings(base_url.rstrip("/"), address_shown(base_url), bearer(key) if key else "", time_limits(timeout),
                    whole_number("retries", retries, 0, MOST_RETRIES), seconds("patience", patience))


class Calls:
    """Makes requests and reads replies; a subclass sends.

    Parameters
    ----------
    settings : Settings
        Of the client. [settings]
    """

    def __init__(self, settings: Settings) -> None:
        self._settings = settings
        self._closed = False
        self._check = True

    def _request(self, operation: str, word: str, body: Any, address: Mapping[str, Any],
                 timeout: Timeout | None, headers: Mapping[str, str] | None) -> Request:
        if self._closed:
            raise ClientError("This client is closed; make another one.")
        if operation not in OPERATIONS:
            like = nearest(operation, OPERATIONS)
            raise ClientError(f'"{operation}" is not an operation. Operations are {", ".join(OPERATIONS)}.'
                              + (f' Did you mean "{like}"?' if like else ""))
        found, params = OPERATIONS[operation], _texts(address)
        path = found.path.replace("{key}", quote(params.pop("key", ""), safe="")) if "{" in found.path else found.path
        if word not in ("json", *found.forms):
            params["format"] = word
        sent = {"Accept": MEDIA_TYPES.get(word, "*/*"), "User-Agent": "kettlewright-client"}
        if self._settings.key:
            sent["Authorization"] = self._settings.key
        data = None
        if found.method == "POST":
            sent["Content-Type"] = "application/json"
            data = body if isinstance(body, bytes) else self._body(operation, body)
        return Request(found.method, self._settings.base_url + path, {**sent, **header_values(headers or {})}, params,
                       data, self._settings.timeout if timeout is None else time_limits(timeout), path)

    def _body(self, operation: str, body: Any) -> bytes:
        if isinstance(body, Mapping):  # None is an argument that was not given
            body = {name: value for name, value in body.items() if value is not None}
        given = plain({} if body is None else body)
        if self._check:
            check_names(operation, given)
        return json_bytes(given)

    def _read(self, operation: str, word: str, answer: BaseResponse) -> Any:
        return read_reply(OPERATIONS[operation], word, answer)


def _texts(address: Mapping[str, Any]) -> dict[str, str]:
    plain_ = {name: plain(value) for name, value in address.items() if value is not None}
    return {name: {True: "true", False: "false"}[value] if isinstance(value, bool) else str(value)
            for name, value in plain_.items()}


def log_attempt(request: Request, began: float, outcome: BaseResponse | Exception) -> None:
    """Write a line to the log, without body and query: they hold the recipe.

    Parameters
    ----------
    request : Request
        The request. [request]
    began : float
        When it was sent, by time.monotonic. [s]
    outcome : BaseResponse or Exception
        What came of it. [reply]
    """
    if not _log.isEnabledFor(logging.DEBUG):
        return
    took_ms = (time.monotonic() - began) * 1000
    if isinstance(outcome, Exception):
        _log.debug("%s %s failed after %.0f ms: %s", request.method, request.path, took_ms, type(outcome).__name__)
    else:
        _log.debug("%s %s -> %d in %.0f ms, %d bytes, request %s", request.method, request.path, outcome.status,
                   took_ms, len(outcome.content), outcome.request_id or "without an id")
