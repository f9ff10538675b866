"""The service on the command line.

    python -m kettlewright_client plan demo.json --html sheet.html --svg face.svg --json out.json
    python -m kettlewright_client lye - < recipe.json
    python -m kettlewright_client fats --search oliv

A file is sent as it is, so the service sees what is wrong with it, doubled keys included.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from kettlewright_client.client import Client
from kettlewright_client.errors import ClientError, InvalidInput, NotFound, TooLarge
from kettlewright_client.operations import FATS_BY, OPERATIONS, Operation

__all__ = ["main"]

FINE, WRONG_INPUT, USAGE, NO_ANSWER, DANGER, INTERRUPTED = 0, 1, 2, 3, 4, 130
_CODES = """exit codes:
  0  fine
  1  the input is wrong; every fault stands on stderr with its place
  2  the command is wrong, or a file cannot be read or written
  3  no answer: the service cannot be reached, is too slow or too busy, or failed
  4  the answer is there and was written, and one of its cautions is a danger: do not make it as it is
"""
_NAMES = {"plan": "batches"}


class _Usage(Exception):
    """Something about the command that argparse cannot know."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command.

    Parameters
    ----------
    argv : sequence of str, optional
        What stands after the name; of the process where it is not given. [words]

    Returns
    -------
    int : the exit code. [code]
    """
    asked = _parser().parse_args(argv)
    try:
        return _run(asked)
    except _Usage as error:
        return _say(USAGE, str(error))
    except (InvalidInput, NotFound, TooLarge) as error:
        return _say(WRONG_INPUT, str(error))
    except ClientError as error:
        return _say(NO_ANSWER, str(error))
    except KeyboardInterrupt:
        return INTERRUPTED


def _run(asked: argparse.Namespace) -> int:
    name = _NAMES.get(asked.operation, asked.operation)
    wanted = _wanted(asked)
    body = _read(asked.body) if OPERATIONS[name].method == "POST" else None
    address = _address(asked)
    try:
        client = Client(getattr(asked, "url", None) or os.environ.get("KETTLEWRIGHT_URL") or "http://127.0.0.1:8000",
                        timeout=(3.05, getattr(asked, "timeout", 10.0)), retries=getattr(asked, "retries", 2),
                        patience=getattr(asked, "patience", 60.0))
    except ClientError as error:
        raise _Usage(str(error)) from error
    with client:
        # the JSON is asked for always: it tells whether there is a danger, and a fault before any file is touched
        document = json.loads(client.form(name, "json", body, **_of_json(address)))
        texts = [json.dumps(document, ensure_ascii=False, indent=2) + "\n" if word == "json"
                 else client.form(name, word, body, **address) for word, _ in wanted]
    code = DANGER if document.get("worst_severity") == "danger" else FINE
    _tell(document)
    for text, (_, file) in zip(texts, wanted, strict=True):
        _write(text, file)
    return code


def _parser() -> argparse.ArgumentParser:
    common = argparse.ArgumentParser(add_help=False, argument_default=argparse.SUPPRESS)
    common.add_argument("--url", help="where the service is (else KETTLEWRIGHT_URL, else http://127.0.0.1:8000)")
    common.add_argument("--timeout", type=float, metavar="S", help="seconds between two parts of a reply (10)")
    common.add_argument("--retries", type=int, metavar="N", help="how often a request is made again (2)")
    common.add_argument("--patience", type=float, metavar="S", help="seconds for all of it (60)")
    parser = argparse.ArgumentParser(prog="python -m kettlewright_client", parents=[common], epilog=_CODES,
                                     description="Formulation maths for cold-process soap, from a running service.",
                                     formatter_class=argparse.RawDescriptionHelpFormatter, allow_abbrev=False)
    commands = parser.add_subparsers(dest="operation", required=True, metavar="COMMAND")
    for name in ("plan", *OPERATIONS):
        operation = OPERATIONS[_NAMES.get(name, name)]
        summary = f"{operation.summary} ({'same as batches' if name == 'plan' else operation.path})"
        command = commands.add_parser(name, parents=[common], help=summary, description=summary, epilog=_CODES,
                                      formatter_class=argparse.RawDescriptionHelpFormatter, allow_abbrev=False)
        _add_arguments(command, name, operation)
    return parser


def _add_arguments(command: argparse.ArgumentParser, name: str, operation: Operation) -> None:
    if operation.method == "POST":
        command.add_argument("body", metavar="BODY", help="file of the request's JSON; - for stdin")
    elif "{key}" in operation.path:
        command.add_argument("key", help="its key in the table")
    for by in FATS_BY if name == "fats" else ():
        command.add_argument(f"--{by.replace('_', '-')}", dest=by, metavar="VALUE")
    for word in ("json", *operation.forms):
        command.add_argument(f"--{word}", metavar="FILE", help=f"write the {word} there; - for stdout")
    if operation.method == "POST":
        command.add_argument("--form", nargs=2, action="append", default=[], metavar=("FORMAT", "FILE"),
                             help="write any other form the service has there")
        command.add_argument("--query", action="append", default=[], metavar="NAME=VALUE",
                             help="what that form needs in the address")


def _wanted(asked: argparse.Namespace) -> list[tuple[str, str]]:
    """Forms and the files they go to; JSON to stdout where none is asked for."""
    operation = OPERATIONS[_NAMES.get(asked.operation, asked.operation)]
    told = [(word, getattr(asked, word)) for word in ("json", *operation.forms)]
    wanted = [(word, file) for word, file in told if file is not None]
    wanted += [(word, file) for word, file in getattr(asked, "form", [])]
    files = [file for _, file in wanted]
    if len(set(files)) < len(files):
        raise _Usage("Two forms would go to the same file; give each its own.")
    return wanted or [("json", "-")]


def _address(asked: argparse.Namespace) -> dict[str, str]:
    found = {by: getattr(asked, by) for by in (*FATS_BY, "key") if getattr(asked, by, None) is not None}
    for pair in getattr(asked, "query", []):
        name, equals, value = pair.partition("=")
        if not name or not equals:
            raise _Usage(f'--query takes NAME=VALUE, not "{pair}".')
        found[name] = value
    return found


def _of_json(address: Mapping[str, str]) -> dict[str, str]:
    return {name: value for name, value in address.items() if name in (*FATS_BY, "key")}


def _read(file: str) -> bytes:
    try:
        return sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
    except OSError as error:
        raise _Usage(f"{file} cannot be read: {error.strerror}") from error


def _write(text: str, file: str) -> None:
    """The text as it is, whatever line ends it has."""
    try:
        if file != "-":
            Path(file).write_bytes(text.encode("utf-8"))
            return
        sys.stdout.buffer.write(text.encode("utf-8"))
        sys.stdout.buffer.flush()
    except BrokenPipeError:  # whoever reads has seen enough
        with contextlib.suppress(OSError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except OSError as error:
        raise _Usage(f"{file} cannot be written: {error.strerror}") from error


def _tell(document: Mapping[str, Any]) -> None:
    """The cautions, on stderr, so that they are seen wherever the answer goes."""
    if document.get("standing_cautions") is None or "worst_severity" not in document:
        return
    for caution in document["cautions"]:
        _say(0, f"{caution['severity']}: {caution['message']}")
    if document["standing_cautions"]:
        _say(0, f"always: {', '.join(document['standing_cautions'])} (the command cautions has their words)")


def _say(code: int, words: str) -> int:
    print(words, file=sys.stderr)
    return code
