"""Counts and times for Prometheus, of all workers of an instance: off unless KETTLEWRIGHT_METRICS names a folder.

Each worker counts in files of its own in that folder, which should be in memory (tmpfs). When a worker has ended, the
main process adds its files to those of the workers that ended before, so that no count ever falls and the number of
files does not grow. The names of operations are the only labels that vary, and they are known at the start.
"""

from __future__ import annotations

import fcntl
import logging
import os
import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

import prometheus_client.values
from flask import Flask, Response
from prometheus_client import CONTENT_TYPE_LATEST, CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.core import GaugeMetricFamily, Metric
from prometheus_client.mmap_dict import MmapedDict
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.registry import Collector

from kettlewright.settings import BadSetting

__all__ = ["NO_OPERATION", "Counts", "add_ended", "prepare", "register"]

NO_OPERATION = "none"
"""Label of requests for an address that has no operation. [text]"""
_CLASSES = ("2xx", "3xx", "4xx", "5xx")
_BUCKETS_S = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0)
_TYPES = ("counter", "histogram")
_OURS = re.compile(r"(counter|histogram)_(\d+|ended)\.db")
_FILE_BYTES = 2**19
_LOCK = "lock"

_log = logging.getLogger("kettlewright")


def prepare(folder: str) -> None:
    """Make the folder empty, in the main process before it starts workers.

    Parameters
    ----------
    folder : str
        KETTLEWRIGHT_METRICS. [path]

    Raises
    ------
    BadSetting : the folder cannot be made or written to.
    """
    place = Path(folder)
    try:
        place.mkdir(mode=0o700, exist_ok=True)
        for file in place.iterdir():
            if _OURS.fullmatch(file.name):
                file.unlink()
        for kind in _TYPES:
            _reserve(place / f"{kind}_ended.db")
        (place / _LOCK).touch(mode=0o600)
    except OSError as error:
        raise BadSetting(f"KETTLEWRIGHT_METRICS is {folder!r}; it must be a folder that can be written to, with 1 MB "
                         f"for each worker and 1 MB more: {error.strerror}") from None


def _reserve(file: Path) -> None:
    """Make a file with all of its space (`file`): a write to a mapped file that finds no space ends the process."""
    with file.open("wb") as out:
        try:
            os.posix_fallocate(out.fileno(), 0, _FILE_BYTES)
        except OSError:
            file.unlink()
            raise


@contextmanager
def _locked(folder: Path, how: int) -> Iterator[None]:
    with (folder / _LOCK).open("rb") as lock:
        fcntl.flock(lock, how)
        yield


def add_ended(folder: str, pid: int) -> None:
    """Add the counts of a worker that ended to those of others, in the main process (`folder` [path], `pid` [id])."""
    place = Path(folder)
    for kind in _TYPES:
        file = place / f"{kind}_{pid}.db"
        try:
            with _locked(place, fcntl.LOCK_EX):
                values = list(MmapedDict.read_all_values_from_file(str(file)))
                ended = MmapedDict(str(place / f"{kind}_ended.db"))
                for key, value, _, _ in values:
                    ended.write_value(key, ended.read_value(key)[0] + value, 0.0)
                ended.close()
                file.unlink()
        except FileNotFoundError:  # it ended before it counted anything
            continue
        except Exception as error:  # a damaged file must not end the main process
            _log.error("what a worker counted is lost: %s", type(error).__name__)
            file.unlink(missing_ok=True)


class Counts:
    """What one worker counts.

    Parameters
    ----------
    folder : str
        KETTLEWRIGHT_METRICS. [path]
    operations : iterable of str
        All that may be named. [names]

    Raises
    ------
    OSError : the folder has no space left.
    """

    def __init__(self, folder: str, operations: Iterable[str]) -> None:
        for kind in _TYPES:
            _reserve(Path(folder) / f"{kind}_{os.getpid()}.db")
        os.environ["PROMETHEUS_MULTIPROC_DIR"] = folder
        prometheus_client.values.ValueClass = prometheus_client.values.MultiProcessValue()
        self._known = frozenset(operations)
        self._requests = Counter("kettlewright_requests", "Requests answered, by operation and class of status.",
                                 ("operation", "status"), registry=None)
        self._seconds = Histogram("kettlewright_request_seconds", "Seconds until the end of the reply, by operation.",
                                  ("operation",), buckets=_BUCKETS_S, registry=None)
        self._cpu = Counter("kettlewright_cpu_seconds", "Seconds of processor time, by operation.", ("operation",),
                            registry=None)
        self._bytes = Counter("kettlewright_reply_bytes", "Bytes of the bodies of replies, by operation.",
                              ("operation",), registry=None)
        for name in (*sorted(self._known), NO_OPERATION):  # all labels now: the files never grow later
            self._seconds.labels(name)
            self._cpu.labels(name)
            self._bytes.labels(name)
            for status in _CLASSES:
                self._requests.labels(name, status)

    def add(self, operation: str | None, status: int, seconds: float, cpu_seconds: float, reply_bytes: int) -> None:
        """Count a request.

        Parameters
        ----------
        operation : str, optional
            Its name; None where the address has none. [name]
        status : int
            Of the reply. [code]
        seconds, cpu_seconds : float
            Until the end of the reply, and of processor time. [s]
        reply_bytes : int
            Of the body. [bytes]
        """
        name = operation if operation in self._known else NO_OPERATION
        self._requests.labels(name, _CLASSES[min(max(status // 100, 2), 5) - 2]).inc()
        self._seconds.labels(name).observe(seconds)
        self._cpu.labels(name).inc(max(cpu_seconds, 0.0))
        self._bytes.labels(name).inc(max(reply_bytes, 0))


class _Versions(Collector):
    """Which versions run."""

    def __init__(self, version: str, data_version: str) -> None:
        self._labels = (version, data_version)

    def collect(self) -> Iterable[Metric]:
        """One value, 1, with the versions as labels."""
        found = GaugeMetricFamily("kettlewright_info", "Versions of service and data.",
                                  labels=("version", "data_version"))
        found.add_metric(self._labels, 1)
        return [found]


def register(app: Flask, folder: str, version: str, data_version: str) -> None:
    """Give an app the address /metrics; who may read it is checked before (see `gate.py`).

    Parameters
    ----------
    app : Flask
        The app. [app]
    folder : str
        KETTLEWRIGHT_METRICS. [path]
    version, data_version : str
        Of service and tables. [text]
    """
    @app.get("/metrics")
    def metrics() -> Response:
        registry = CollectorRegistry()
        registry.register(_Versions(version, data_version))
        with _locked(Path(folder), fcntl.LOCK_SH):
            MultiProcessCollector(registry, path=folder)
            text = generate_latest(registry)
        return Response(text, content_type=CONTENT_TYPE_LATEST, headers={"Cache-Control": "no-store"})
