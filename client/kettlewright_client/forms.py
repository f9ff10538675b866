"""Check that a reply is complete and comes from the service, and read it."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any, NoReturn

from kettlewright_client.errors import ServerFault, problem_of
from kettlewright_client.operations import MEDIA_TYPES, Operation
from kettlewright_client.reading import read
from kettlewright_client.reply import BaseResponse, TruncatedResponse
from kettlewright_client.values import Text

__all__ = ["as_text", "read_lines", "read_reply"]

_ENDS = {"html": "</html>", "svg": "</svg>", "ics": "END:VCALENDAR"}
_STRANGE = "; is a proxy answering instead of the service?"


def read_reply(operation: Operation, form: str, answer: BaseResponse) -> Any:
    """Read a reply. A success that is truncated, or that breaks the contract, raises an exception.

    Parameters
    ----------
    operation : Operation
        The requested operation. [operation]
    form : str
        The requested form, as in `format`. [word]
    answer : BaseResponse
        The reply, with any status. [reply]

    Returns
    -------
    object : for JSON the result (a dict if the operation has no class), otherwise the text

    Raises
    ------
    ProblemError : the status is not 200.
    TruncatedResponse : it ends too early.
    ServerFault : it is not a reply of the service.
    """
    _check_status(answer)
    if not answer.content:  # as after truncated headers
        raise TruncatedResponse("the reply is empty")
    wanted = MEDIA_TYPES.get(form)
    given = _media_type(answer)
    if wanted is not None and given not in ("", wanted):
        _reject(answer, f"the reply is {given[:100]}, but {wanted} was requested{_STRANGE}")
    return _result(operation, answer) if form == "json" else Text(_text(form, answer), form, answer.request_id)


def read_lines(operation: Operation, media_type: str, answer: BaseResponse) -> list[Any]:
    """Read a reply of many results, one a line.

    Parameters
    ----------
    operation : Operation
        The requested operation. [operation]
    media_type : str
        That of such replies. [text]
    answer : BaseResponse
        The reply, with any status. [reply]

    Returns
    -------
    list : for each line the result, or the ProblemError that it states

    Raises
    ------
    ProblemError : the status is not 200.
    TruncatedResponse : it ends too early.
    ServerFault : it is not a reply of the service.
    """
    _check_status(answer)
    given = _media_type(answer)
    if given != media_type:
        _reject(answer, f"the reply is {given[:100] or 'of no type'}, but {media_type} was requested{_STRANGE}")
    if answer.content and not answer.content.endswith(b"\n"):
        raise TruncatedResponse("its last line ends too early")
    return [_result_or_problem(operation, replace(answer, content=line)) for line in answer.content.splitlines()]


def _check_status(answer: BaseResponse) -> None:
    if answer.status != 200:
        raise problem_of(answer.status, _problem(answer), answer.headers)


def _media_type(answer: BaseResponse) -> str:
    return answer.headers.get("Content-Type", "").partition(";")[0].strip().lower()


def _result_or_problem(operation: Operation, answer: BaseResponse) -> Any:
    document = _json(answer)
    status = document.get("status")
    if isinstance(status, int) and "detail" in document:
        return problem_of(status, document, answer.headers)
    return _result_of(operation, document, answer)


def as_text(found: Any) -> Text:
    """A reply as text.

    Parameters
    ----------
    found : Text or Result
        As `read_reply` returns it. [reply]

    Returns
    -------
    Text : of a result its JSON, with the fields that this client does not know.
    """
    if isinstance(found, Text):
        return found
    return Text(json.dumps(found.raw, ensure_ascii=False), "json", found.request_id)


def _result(operation: Operation, answer: BaseResponse) -> Any:
    return _result_of(operation, _json(answer), answer)


def _result_of(operation: Operation, document: dict[str, Any], answer: BaseResponse) -> Any:
    try:
        return read(operation.result, document, answer.request_id)
    except KeyError as error:
        _reject(answer, f"the reply breaks the contract: {error.args[0]} is missing{_STRANGE}")
    except TypeError as error:
        _reject(answer, f"the reply breaks the contract: {error}{_STRANGE}")


def _text(form: str, answer: BaseResponse) -> str:
    if "X-Request-ID" not in answer.headers:  # a proxy's page looks like a sheet; the service always sends it
        _reject(answer, f"the reply lacks the X-Request-ID that the service always sends{_STRANGE}")
    text = _decoded(answer)
    if form in _ENDS:
        if not text.rstrip().endswith(_ENDS[form]):
            raise TruncatedResponse(f"the {form} ends too early")
    elif not {"content-length", "transfer-encoding"} & {name.lower() for name in answer.headers}:
        # 11 may have been 113: such a text does not show where it ends
        _reject(answer, f"the reply has no length, so it may be truncated{_STRANGE}")
    return text


def _decoded(answer: BaseResponse) -> str:
    try:
        return answer.content.decode("utf-8")
    except UnicodeDecodeError as error:
        if error.end == len(answer.content) and error.reason == "unexpected end of data":
            raise TruncatedResponse("it ends in the middle of a character") from None
        _reject(answer, f"the reply is not in UTF-8{_STRANGE}")


def _json(answer: BaseResponse) -> dict[str, Any]:
    text = _decoded(answer)
    try:
        found = json.loads(text, parse_constant=_no_number)
    except RecursionError:
        _reject(answer, f"the reply is nested too deeply{_STRANGE}")
    except ValueError as error:
        if text.lstrip().startswith("{"):
            raise TruncatedResponse(f"its JSON ends too early: {error}") from None
        _reject(answer, f"the reply is not JSON{_STRANGE}")
    if not isinstance(found, dict):
        _reject(answer, f"the reply is not a JSON object{_STRANGE}")
    return found


def _problem(answer: BaseResponse) -> Any:
    """The JSON of an unsuccessful reply; None for the page of a proxy."""
    try:
        return json.loads(answer.content)
    except (ValueError, RecursionError):
        return None


def _no_number(word: str) -> NoReturn:
    raise ValueError(f"{word} is not valid JSON")


def _reject(answer: BaseResponse, detail: str) -> NoReturn:
    raise ServerFault(answer.status, detail=detail, request_id=answer.request_id)
