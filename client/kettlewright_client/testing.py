"""A client without a network, for the tests of whoever uses this one.

    from kettlewright_client.testing import StubClient

    def test_my_sheet_shows_the_alkali():
        client = StubClient()                                     # answers with recorded, invented examples
        assert my_sheet(client).startswith("Sodium hydroxide")
        assert client.sent[0].operation == "lye"                  # and keeps what it was asked

    client = StubClient({"lye": my_reply})                        # a reply of your own, as a mapping
    client = StubClient({"lye": lambda body: reply_for(body)})    # made of the body
    client = StubClient({"lye": TimedOut("no reply")})            # what a fault of the service does to you

Everything but the network is real: requests are written as JSON, replies are read and checked as ever. A body that
breaks the contract is refused as the service would refuse it, with `InvalidInput` and the pointer of each error (names,
kinds and bounds; what only the maths knows, a stub cannot). That needs jsonschema: install
"kettlewright-client[testing]", or make the stub with `check=False`.
The recorded numbers belong to the recorded bodies (`recorded`), not to whatever is asked: never use them for soap.
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
from kettlewright_client.request_check import faults_of

__all__ = ["Example", "Sent", "StubClient", "StubResponse", "recorded"]

StubResponse = Mapping[str, Any] | str | ClientError | Callable[[Any], "Mapping[str, Any] | str | ClientError"]
_ADDRESS = "http://stub.invalid"
_PROBLEM = "application/problem+json"


@dataclass(frozen=True)
class Sent:
    """What a stub was asked.

    Parameters
    ----------
    operation, form : str
        Such as "lye" and "json". [words]
    body : object
        The JSON body; None of a GET. [as in JSON]
    address : mapping
        What stood in the address. [text]
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
        What was asked; None of a GET. [as in JSON]
    replies : mapping
        The JSON, and each other form as text, by the word of `format`. [as in JSON]
    """

    body: Mapping[str, Any] | None
    replies: Mapping[str, Any]


@cache
def _file() -> str:
    return Path(__file__).with_name("recorded.json").read_text(encoding="utf-8")


def recorded() -> dict[str, Example]:
    """The recorded examples, by operation: invented requests and what the service really replied. [as in JSON]"""
    return {name: Example(told["body"], told["replies"]) for name, told in json.loads(_file()).items()}


class StubClient(Client):
    """A client that answers by itself; `sent` has what it was asked.

    Parameters
    ----------
    replies : mapping, optional
        By operation, or by operation and form as in "batches.html": a mapping (the JSON), a text (another form), an
        exception of this client, or a function of the body that gives one of them. What is not there is answered by the
        recorded examples. [as in JSON]
    check : bool
        Whether bodies are checked against the contract, unless the reply is an exception. [yes or no]
    """

    def __init__(self, replies: Mapping[str, StubResponse] | None = None, *, check: bool = True) -> None:
        for name in replies or {}:
            if name.partition(".")[0] not in OPERATIONS:
                raise ClientError(f'"{name}" is no operation; there are {", ".join(OPERATIONS)}.')
        session = requests.Session()
        self.sent: list[Sent] = []
        session.trust_env = False
        session.mount("http://", _Answers(dict(replies or {}), self.sent, check=check))
        super().__init__(_ADDRESS, session=session, retries=0)


class _Answers(BaseAdapter):
    """Stands where the network would."""

    def __init__(self, replies: Mapping[str, StubResponse], sent: list[Sent], *, check: bool) -> None:
        super().__init__()
        self._check = check
        self._replies = replies
        self._sent = sent

    def send(self, request: requests.PreparedRequest, *_: Any, **__: Any) -> requests.Response:
        asked = _asked(request)
        self._sent.append(asked)
        played = self._own(asked)
        faults = [] if isinstance(played, ClientError) or not self._check else faults_of(asked.operation, asked.body)
        if faults:
            return _answer(request, 422, _PROBLEM, json.dumps(_problem(faults, request), ensure_ascii=False))
        found = self._reply(asked)
        if isinstance(found, ClientError):
            raise found
        return _answer(request, 200, MEDIA_TYPES.get(asked.form, "text/plain"),
                       found if isinstance(found, str) else json.dumps(found, ensure_ascii=False))

    def close(self) -> None:
        """Nothing is open."""

    def _own(self, asked: Sent) -> StubResponse | None:
        for name in (f"{asked.operation}.{asked.form}", asked.operation if asked.form == "json" else ""):
            if name in self._replies:
                return self._replies[name]
        return None

    def _reply(self, asked: Sent) -> Mapping[str, Any] | str | ClientError:
        own = self._own(asked)
        if own is not None:
            return own(asked.body) if callable(own) else own
        replies = recorded()[asked.operation].replies
        if asked.form not in replies:
            raise ClientError(f'No {asked.form} of {asked.operation} is recorded; give one as '
                              f'"{asked.operation}.{asked.form}".')
        found: Mapping[str, Any] | str = replies[asked.form]
        return found


def _answer(request: requests.PreparedRequest, status: int, kind: str, content: str) -> requests.Response:
    reply = requests.Response()
    reply.status_code, reply.url, reply.request = status, str(request.url), request
    reply.raw = io.BytesIO(content.encode("utf-8"))
    reply.headers.update({"Content-Type": kind, "X-Request-ID": "stub",
                          "Content-Length": str(len(content.encode("utf-8")))})
    return reply


def _problem(faults: list[dict[str, str]], request: requests.PreparedRequest) -> dict[str, Any]:
    more = f" ({len(faults) - 1} more below)" if len(faults) > 1 else ""
    return {"type": "/problems/wrong-input", "title": "The input is wrong", "status": 422,
            "detail": faults[0]["detail"] + more, "instance": urlsplit(str(request.url)).path, "errors": faults}


def _asked(request: requests.PreparedRequest) -> Sent:
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
