"""A client that needs no network, for the tests of your own programs.

    from kettlewright_client.testing import StubClient

    def test_my_sheet_shows_the_alkali():
        client = StubClient()                                     # replies with recorded, invented examples
        assert my_sheet(client).startswith("Sodium hydroxide")
        assert client.sent[0].operation == "lye"                  # and keeps the requests

    client = StubClient({"lye": my_reply})                        # a reply of your own, as a mapping
    client = StubClient({"lye": lambda body: reply_for(body)})    # made of the body
    client = StubClient({"lye": TimedOut("no reply")})            # an error of the service

Everything but the network is real: requests are written as JSON, replies are read and checked. A body that breaks the
contract is rejected as the service would do it, with `InvalidInput` and the pointer of each error (names, types and
bounds; the stub does not do the maths). That needs jsonschema: install "kettlewright-client[testing]", or make the stub
with `check=False`.
The recorded numbers belong to the recorded bodies (`recorded`), not to your request: never use them for soap.
"""

from __future__ import annotations

import io
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl, unquote, urlsplit

import requests
from requests.adapters import BaseAdapter

from kettlewright_client.client import Client
from kettlewright_client.errors import ClientError
from kettlewright_client.operations import MEDIA_TYPES, OPERATIONS
from kettlewright_client.request_check import find_errors

__all__ = ["Example", "Sent", "StubClient", "StubResponse", "recorded"]

StubResponse = Mapping[str, Any] | str | ClientError | Callable[[Any], "Mapping[str, Any] | str | ClientError"]
_ADDRESS = "http://stub.invalid"
_PROBLEM = "application/problem+json"


@dataclass(frozen=True)
class Sent:
    """A request that a stub received.

    Parameters
    ----------
    operation, form : str
        Such as "lye" and "json". [words]
    body : object
        The JSON body; None for a GET. [as in JSON]
    address : mapping
        The query parameters. [text]
    """

    operation: str
    form: str
    body: Any
    address: Mapping[str, str]


@dataclass(frozen=True)
class Example:
    """A recorded request and its replies.

    Parameters
    ----------
    body : mapping, optional
        The request; None for a GET. [as in JSON]
    replies : mapping
        The JSON, and every other form as text, as in `format`. [as in JSON]
    """

    body: Mapping[str, Any] | None
    replies: Mapping[str, Any]


@cache
def _file() -> str:
    return Path(__file__).with_name("recorded.json").read_text(encoding="utf-8")


def recorded() -> dict[str, Example]:
    """The recorded examples, by operation: invented requests and the real replies to them. [as in JSON]"""
    return {name: Example(one["body"], one["replies"]) for name, one in json.loads(_file()).items()}


class StubClient(Client):
    """A client that replies without a service; `sent` has the requests.

    Parameters
    ----------
    replies : mapping, optional
        By operation, or by operation and form as in "batches.html": a mapping (the JSON), a text (another form), an
        exception of this client, or a function of the body that gives one of them. All other requests get the
        recorded examples. [as in JSON]
    check : bool
        Whether bodies are checked against the contract, unless the reply is an exception. [yes or no]
    """

    def __init__(self, replies: Mapping[str, StubResponse] | None = None, *, check: bool = True) -> None:
        for name in replies or {}:
            if name.partition(".")[0] not in OPERATIONS:
                raise ClientError(f'"{name}" is not an operation. Operations are {", ".join(OPERATIONS)}.')
        session = requests.Session()
        self.sent: list[Sent] = []
        session.trust_env = False
        session.mount("http://", _Answers(dict(replies or {}), self.sent, check=check))
        super().__init__(_ADDRESS, session=session, retries=0)


class _Answers(BaseAdapter):
    """Takes the place of the network."""

    def __init__(self, replies: Mapping[str, StubResponse], sent: list[Sent], *, check: bool) -> None:
        super().__init__()
        self._check = check
        self._replies = replies
        self._sent = sent

    def send(self, request: requests.PreparedRequest, *_: Any, **__: Any) -> requests.Response:
        sent = _read_request(request)
        self._sent.append(sent)
        prepared = self._own(sent)
        errors = [] if isinstance(prepared, ClientError) or not self._check else find_errors(sent.operation, sent.body)
        if errors:
            return _answer(request, 422, _PROBLEM, json.dumps(_problem(errors, request), ensure_ascii=False))
        found = self._reply(sent)
        if isinstance(found, ClientError):
            raise found
        return _answer(request, 200, MEDIA_TYPES.get(sent.form, "text/plain"),
                       found if isinstance(found, str) else json.dumps(found, ensure_ascii=False))

    def close(self) -> None:
        """Nothing to close."""

    def _own(self, sent: Sent) -> StubResponse | None:
        for name in (f"{sent.operation}.{sent.form}", sent.operation if sent.form == "json" else ""):
            if name in self._replies:
                return self._replies[name]
        return None

    def _reply(self, sent: Sent) -> Mapping[str, Any] | str | ClientError:
        own = self._own(sent)
        if own is not None:
            return own(sent.body) if callable(own) else own
        replies = recorded()[sent.operation].replies
        if sent.form not in replies:
            raise ClientError(f'No {sent.form} of {sent.operation} is recorded; give one as '
                              f'"{sent.operation}.{sent.form}".')
        found: Mapping[str, Any] | str = replies[sent.form]
        return found


def _answer(request: requests.PreparedRequest, status: int, kind: str, content: str) -> requests.Response:
    reply = requests.Response()
    reply.status_code, reply.url, reply.request = status, str(request.url), request
    reply.raw = io.BytesIO(content.encode("utf-8"))
    reply.headers.update({"Content-Type": kind, "X-Request-ID": "stub",
                          "Content-Length": str(len(content.encode("utf-8")))})
    return reply


def _problem(errors: list[dict[str, str]], request: requests.PreparedRequest) -> dict[str, Any]:
    more = f" ({len(errors) - 1} more below)" if len(errors) > 1 else ""
    return {"type": "/problems/wrong-input", "title": "The input is wrong", "status": 422,
            "detail": errors[0]["detail"] + more, "instance": urlsplit(str(request.url)).path, "errors": errors}


def _read_request(request: requests.PreparedRequest) -> Sent:
    parts = urlsplit(str(request.url))
    address = dict(parse_qsl(parts.query, keep_blank_values=True))
    accepted = {media_type: word for word, media_type in MEDIA_TYPES.items()}
    form = address.pop("format", "") or accepted.get(str(request.headers.get("Accept")), "json")
    for name, operation in OPERATIONS.items():
        before, key, _ = operation.path.partition("{key}")
        if request.method == operation.method and (parts.path == operation.path
                                                   or (key and parts.path.startswith(before))):
            more = {"key": unquote(parts.path.removeprefix(before))} if key else {}
            body = json.loads(request.body) if request.body else None
            return Sent(name, form, body, {**address, **more})
    raise ClientError(f"Nothing is known to answer {request.method} {parts.path}.")
