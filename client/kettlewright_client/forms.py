"""The forms of a reply: what each looks like when it is whole, and what is no reply of the service at all."""

from __future__ import annotations

import json
from typing import Any, NoReturn

from kettlewright_client.errors import ServerFault, problem_of
from kettlewright_client.operations import MEDIA_TYPES, Operation
from kettlewright_client.results import read
from kettlewright_client.wire import BaseResponse, CutOff

__all__ = ["taken"]

_ENDS = {"html": "</html>", "svg": "</svg>", "ics": "END:VCALENDAR"}
_STRANGE = "; something stands between this client and the service"


def taken(operation: Operation, form: str, answer: BaseResponse) -> Any:
    """What a reply holds; a success that is not whole, or not as the contract says, is refused.

    Parameters
    ----------
    operation : Operation
        What was asked for. [operation]
    form : str
        In which form, by the word of `format`. [word]
    answer : BaseResponse
        With any status. [reply]

    Returns
    -------
    object : of JSON the result (a dict where the operation has none); else the text

    Raises
    ------
    ProblemError : it is no success.
    CutOff : it ends too early.
    ServerFault : it is something else.
    """
    if answer.status != 200:
        raise problem_of(answer.status, _problem(answer), answer.headers)
    if not answer.content:  # as after headers that broke off
        raise CutOff("the reply is empty")
    wanted = MEDIA_TYPES.get(form)
    given = answer.headers.get("Content-Type", "").partition(";")[0].strip().lower()
    if wanted is not None and given not in ("", wanted):
        _refuse(answer, f"the reply came as {given[:100]} where {wanted} was asked for{_STRANGE}")
    return _result(operation, answer) if form == "json" else _text(form, answer)


def _result(operation: Operation, answer: BaseResponse) -> Any:
    document = _json(answer)
    try:
        for key, kind in operation.needs.items():
            if not isinstance(document[key], kind):
                raise TypeError(f"{key} is something else")
        return document if operation.gives is None else read(operation.gives, document)
    except KeyError as error:
        _refuse(answer, f"the reply is not as agreed: {error.args[0]} is missing{_STRANGE}")
    except TypeError as error:
        _refuse(answer, f"the reply is not as agreed: {error}{_STRANGE}")


def _text(form: str, answer: BaseResponse) -> str:
    if "X-Request-ID" not in answer.headers:  # a page of a proxy looks like a sheet; every reply of the service has it
        _refuse(answer, f"the reply has no X-Request-ID, as every reply of the service has{_STRANGE}")
    text = _decoded(answer)
    if form in _ENDS:
        if not text.rstrip().endswith(_ENDS[form]):
            raise CutOff(f"the {form} ends too early")
    elif not {"content-length", "transfer-encoding"} & {name.lower() for name in answer.headers}:
        # 11 may have been 113: nothing in such a text tells where it ends
        _refuse(answer, f"the reply does not tell its length, so it may have been cut off{_STRANGE}")
    return text


def _decoded(answer: BaseResponse) -> str:
    try:
        return answer.content.decode("utf-8")
    except UnicodeDecodeError as error:
        if error.end == len(answer.content) and error.reason == "unexpected end of data":
            raise CutOff("it ends in the middle of a letter") from None
        _refuse(answer, f"the reply is not in UTF-8{_STRANGE}")


def _json(answer: BaseResponse) -> dict[str, Any]:
    text = _decoded(answer)
    try:
        found = json.loads(text, parse_constant=_no_number)
    except RecursionError:
        _refuse(answer, f"the reply is nested too deeply{_STRANGE}")
    except ValueError as error:
        if text.lstrip().startswith("{"):
            raise CutOff(f"its JSON cannot be read to the end: {error}") from None
        _refuse(answer, f"the reply is no JSON{_STRANGE}")
    if not isinstance(found, dict):
        _refuse(answer, f"the reply is no JSON object{_STRANGE}")
    return found


def _problem(answer: BaseResponse) -> Any:
    """The JSON of a reply that is no success; None of a page of whatever stands before the service."""
    try:
        return json.loads(answer.content)
    except (ValueError, RecursionError):
        return None


def _no_number(word: str) -> NoReturn:
    raise ValueError(f"{word} is no number of JSON")


def _refuse(answer: BaseResponse, detail: str) -> NoReturn:
    raise ServerFault(answer.status, detail=detail, request_id=answer.headers.get("X-Request-ID", ""))
