"""Batches in blocks: many in one request, as lines of NDJSON."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from kettlewright_client.errors import ClientError, ServerFault
from kettlewright_client.forms import read_lines
from kettlewright_client.given import whole_number
from kettlewright_client.operations import OPERATIONS
from kettlewright_client.reply import LINES_TYPE, BaseResponse, Request

__all__ = ["Block", "block_of", "blocks_of", "request_of_lines"]

_BLOCK_MOST = 64
_BYTES_MOST = 200_000  # the service takes 262,144 bytes of a request unless its operator chose otherwise

Outcome = Any  # Batch | ClientError


class Block:
    """Some batches, and what has come of them so far.

    Parameters
    ----------
    lines : list of bytes or ClientError
        The body of each as JSON, or why it is not sent. [JSON]
    """

    def __init__(self, lines: list[bytes | ClientError]) -> None:
        self.outcomes: list[Outcome] = [line if isinstance(line, ClientError) else None for line in lines]
        self._lines = lines

    def left(self) -> list[bytes]:
        """The lines without an outcome. [JSON]"""
        return [line for line, found in zip(self._lines, self.outcomes, strict=True)
                if isinstance(line, bytes) and found is None]

    def take(self, found: list[Outcome]) -> None:
        """Add outcomes of the first lines that had none (`found`).

        A stream that ends early has a problem at the place of its last line; that line is sent again, unless nothing
        else came.
        """
        if 1 < len(found) < len(self.left()):
            found = found[:-1]
        places = [place for place, one in enumerate(self.outcomes) if one is None]
        for place, one in zip(places, found, strict=False):
            self.outcomes[place] = one

    def fail(self, error: ClientError) -> None:
        """Give every line without an outcome the same error (`error`)."""
        self.outcomes = [error if one is None else one for one in self.outcomes]


def block_of(size: int) -> int:
    """Check the number of batches in a block (`size`). Raises `ClientError`. [batches]"""
    return whole_number("block", size, 1, _BLOCK_MOST)


def blocks_of(bodies: Iterable[Mapping[str, Any]], encode: Callable[[Mapping[str, Any]], bytes],
              size: int) -> Iterator[Block]:
    """Blocks of batches, in order, as they are needed.

    Parameters
    ----------
    bodies : iterable of mapping
        The arguments of `batches`. [units]
    encode : callable
        Makes JSON of one, or raises `ClientError`. [function]
    size : int
        The most of a block. [batches]

    Yields
    ------
    Block
    """
    lines: list[bytes | ClientError] = []
    filled = 0
    for body in bodies:
        try:
            line: bytes | ClientError = encode(body)
        except ClientError as error:
            line = error
        more = len(line) + 1 if isinstance(line, bytes) else 0
        if lines and (len(lines) == size or filled + more > _BYTES_MOST):
            yield Block(lines)
            lines, filled = [], 0
        lines.append(line)
        filled += more
    if lines:
        yield Block(lines)


def request_of_lines(request: Request, lines: list[bytes]) -> tuple[Request, Callable[[BaseResponse], list[Outcome]]]:
    """A request for many batches, and what reads its reply.

    Parameters
    ----------
    request : Request
        For one batch. [request]
    lines : list of bytes
        The bodies. [JSON]

    Returns
    -------
    Request, and a function that makes outcomes of a reply
    """
    headers = {**request.headers, "Accept": LINES_TYPE, "Content-Type": LINES_TYPE}

    def take(answer: BaseResponse) -> list[Outcome]:
        found = read_lines(OPERATIONS["batches"], LINES_TYPE, answer)
        if not found or len(found) > len(lines):
            raise ServerFault(answer.status, detail=f"{len(found)} replies came to {len(lines)} batches.",
                              request_id=answer.request_id)
        return found

    return replace(request, headers=headers, data=b"\n".join(lines) + b"\n"), take
