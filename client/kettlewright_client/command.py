"""The service on the command line.

    python -m kettlewright_client plan demo.json --html sheet.html --svg face.svg --json out.json
    python -m kettlewright_client lye - < recipe.json
    python -m kettlewright_client fats --search oliv

A file is sent unchanged, so that the service sees all errors in it, repeated keys included.
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
from kettlewright_client.operations import OPERATIONS, Operation

__all__ = ["main"]

SUCCESS, WRONG_INPUT, USAGE, NO_REPLY, DANGER, INTERRUPTED = 0, 1, 2, 3, 4, 130
_CODES = """exit codes:
  0  success
  1  the input is wrong; all errors are on stderr, each with its location
  2  the command is wrong, or a file cannot be read or written
  3  no reply: the service cannot be reached, is too slow or too busy, refuses access, or failed
  4  the reply was written, and one of its cautions is a danger: do not make this batch as it is
"""
_NAMES = {"plan": "batches"}


class _Usage(Exception):
    """An error of the command line that argparse does not find."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run a command.

    Parameters
    ----------
    argv : sequence of str, optional
        The arguments; those of the process if left out. [words]

    Returns
    -------
    int : the exit code. [code]
    """
    options = _parser().parse_args(argv)
    try:
        return _run(options)
    except _Usage as error:
        return _say(USAGE, str(error))
    except (InvalidInput, NotFound, TooLarge) as error:
        return _say(WRONG_INPUT, str(error))
    except ClientError as error:
        return _say(NO_REPLY, str(error))
    except KeyboardInterrupt:
        return INTERRUPTED


def _run(options: argparse.Namespace) -> int:
    name = _NAMES.get(options.operation, options.operation)
    outputs = _outputs(options)
    body = _read(options.body) if OPERATIONS[name].method == "POST" else None
    address = _address(options)
    try:
        client = Client(getattr(options, "url", None) or None, timeout=(3.05, getattr(options, "timeout", 10.0)),
                        retries=getattr(options, "retries", 2), patience=getattr(options, "patience", 60.0))
    except ClientError as error:
        raise _Usage(str(error)) from error
    form: Any = client.form
    with client:
        # always get the JSON: it shows a danger, and an error before any file is written
        document = json.loads(form(name, "json", body, **_of_json(name, address)))
        texts = [json.dumps(document, ensure_ascii=False, indent=2) + "\n" if word == "json"
                 else form(name, word, body, **address) for word, _ in outputs]
    code = DANGER if document.get("worst_severity") == "danger" else SUCCESS
    _print_cautions(document)
    for text, (_, file) in zip(texts, outputs, strict=True):
        _write(text, file)
    return code


def _parser() -> argparse.ArgumentParser:
    common = argparse.ArgumentParser(add_help=False, argument_default=argparse.SUPPRESS)
    common.add_argument("--url", help="address of the service (default: KETTLEWRIGHT_URL, or http://127.0.0.1:8000)")
    common.add_argument("--timeout", type=float, metavar="S",
                        help="seconds to wait between two parts of a reply (default 10)")
    common.add_argument("--retries", type=int, metavar="N", help="how often to repeat a request (default 2)")
    common.add_argument("--patience", type=float, metavar="S", help="seconds for everything together (default 60)")
    parser = argparse.ArgumentParser(prog="python -m kettlewright_client", parents=[common], epilog=_CODES,
                                     description="Formulation maths for cold-process soap, by a running service.",
                                     formatter_class=argparse.RawDescriptionHelpFormatter, allow_abbrev=False)
    commands = parser.add_subparsers(dest="operation", required=True, metavar="COMMAND")
    for name in ("plan", *OPERATIONS):
        operation = OPERATIONS[_NAMES.get(name, name)]
        summary = f"{operation.summary} ({'same as batches' if name == 'plan' else operation.path})"
        command = commands.add_parser(name, parents=[common], help=summary, description=summary, epilog=_CODES,
                                      formatter_class=argparse.RawDescriptionHelpFormatter, allow_abbrev=False)
        _add_arguments(command, operation)
    return parser


def _add_arguments(command: argparse.ArgumentParser, operation: Operation) -> None:
    if operation.method == "POST":
        command.add_argument("body", metavar="BODY", help="JSON file of the request; - for stdin")
    for by in operation.address:
        if f"{{{by}}}" in operation.path:
            command.add_argument(by, help="key or name of the fat")
        else:
            command.add_argument(f"--{by.replace('_', '-')}", dest=by, metavar="VALUE")
    for word in ("json", *operation.forms):
        command.add_argument(f"--{word}", metavar="FILE", help=f"write the {word} to FILE; - for stdout")
    if operation.method == "POST":
        command.add_argument("--form", nargs=2, action="append", default=[], metavar=("FORMAT", "FILE"),
                             help="write the reply in another format, such as csv, to FILE")
        command.add_argument("--query", action="append", default=[], metavar="NAME=VALUE",
                             help="query parameter for that format, such as table=cautions")


def _outputs(options: argparse.Namespace) -> list[tuple[str, str]]:
    """Forms and their files; JSON to stdout if none is named."""
    operation = OPERATIONS[_NAMES.get(options.operation, options.operation)]
    named = [(word, getattr(options, word)) for word in ("json", *operation.forms)]
    outputs = [(word, file) for word, file in named if file is not None]
    outputs += [(word, file) for word, file in getattr(options, "form", [])]
    files = [file for _, file in outputs]
    if len(set(files)) < len(files):
        raise _Usage("Two forms have the same file; give each its own.")
    return outputs or [("json", "-")]


def _address(options: argparse.Namespace) -> dict[str, str]:
    known = OPERATIONS[_NAMES.get(options.operation, options.operation)].address
    found = {by: getattr(options, by) for by in known if getattr(options, by, None) is not None}
    for pair in getattr(options, "query", []):
        name, equals, value = pair.partition("=")
        if not name or not equals:
            raise _Usage(f'--query takes NAME=VALUE, not "{pair}".')
        found[name] = value
    return found


def _of_json(operation: str, address: Mapping[str, str]) -> dict[str, str]:
    return {name: value for name, value in address.items() if name in OPERATIONS[operation].address}


def _read(file: str) -> bytes:
    try:
        return sys.stdin.buffer.read() if file == "-" else Path(file).read_bytes()
    except OSError as error:
        raise _Usage(f"{file} cannot be read: {error.strerror}") from error


def _write(text: str, file: str) -> None:
    """Write the text with its own line ends."""
    try:
        if file != "-":
            Path(file).write_bytes(text.encode("utf-8"))
            return
        sys.stdout.buffer.write(text.encode("utf-8"))
        sys.stdout.buffer.flush()
    except BrokenPipeError:  # the reader closed the pipe
        with contextlib.suppress(OSError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except OSError as error:
        raise _Usage(f"{file} cannot be written: {error.strerror}") from error


def _print_cautions(document: Mapping[str, Any]) -> None:
    """Print the cautions to stderr, so that you see them wherever the reply goes."""
    if document.get("standing_cautions") is None or "worst_severity" not in document:
        return
    for caution in document["cautions"]:
        _say(0, f"{caution['severity']}: {caution['message']}")
    if document["standing_cautions"]:
        _say(0, f"always: {', '.join(document['standing_cautions'])} (the command cautions prints their texts)")


def _say(code: int, words: str) -> int:
    print(words, file=sys.stderr)
    return code
