"""Which version of the data folder a process serves.

gunicorn's main process reads the folder when it starts and again at SIGHUP; workers inherit what it read, also those
that it starts later. So all workers serve one version, and a folder that is bad or half copied changes nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager, contextmanager
from functools import partial
from typing import Any

from werkzeug.wsgi import ClosingIterator

from kettlewright.api.coop.folder import read_folder
from kettlewright.api.door.operations import around_run
from kettlewright.api.door.tags import data_version
from kettlewright.api.parts.coop import CoopData, CoopUse, current_coop
from kettlewright.held import Held

__all__ = ["load_data", "reload_data", "serve_data"]

_data = Held(read_folder)
_Wsgi = Callable[..., Iterable[bytes]]


def load_data(folder: str) -> CoopData | None:
    """The data of a folder, read once in this process and those it forks (`folder`: none if empty).

    Raises
    ------
    BadData : it has errors.
    """
    return _data.at(folder) if folder else None


def reload_data(folder: str) -> CoopData:
    """Read a folder again (`folder`).

    Raises
    ------
    BadData : it has errors; what was read before is still served.
    """
    return _data.again(folder)


@contextmanager
def _using(data: CoopData) -> Iterator[None]:
    token = current_coop.set(CoopUse(data))
    try:
        yield
    finally:
        current_coop.reset(token)


def serve_data(application: _Wsgi, data: CoopData) -> _Wsgi:
    """An application whose operations know the data of a co-op (`application`: WSGI, `data`)."""
    around: Callable[[], AbstractContextManager[None]] = partial(_using, data)

    def answer(environ: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        token, version = around_run.set(around), data_version.set(data.version.digest)
        try:
            reply = application(environ, start_response)
        finally:
            around_run.reset(token)
            data_version.reset(version)
        return ClosingIterator(_parts(reply, around), getattr(reply, "close", None))

    return answer


def _parts(reply: Iterable[bytes], around: Callable[[], AbstractContextManager[None]]) -> Iterator[bytes]:
    """The parts of a reply; one that is streamed is computed while they are taken."""
    parts = iter(reply)
    while True:
        token = around_run.set(around)
        try:
            part = next(parts, None)
        finally:
            around_run.reset(token)
        if part is None:
            return
        yield part
