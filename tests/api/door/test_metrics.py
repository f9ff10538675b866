"""Counts for Prometheus: of all workers, also ended ones; bounded labels; a full or damaged folder harms nobody."""

from __future__ import annotations

import errno
import json
import os
import signal
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import prometheus_client.values
import pytest
from api.bodies import LYE
from api.gunicorn import Running, running
from flask import Flask
from flask.testing import FlaskClient
from kettlewright.api.door import metrics
from kettlewright.keys import MEMBER, OPERATOR, READ_ONLY, new_key, write_key_file
from kettlewright.settings import BadSetting
from prometheus_client.parser import text_string_to_metric_families
from siege.wire import Answer, exchange, get, post

OPERATIONS = ("lye", "batches")


@pytest.fixture(autouse=True)
def _as_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    """The library keeps these for the whole process."""
    monkeypatch.setattr(prometheus_client.values, "ValueClass", prometheus_client.values.ValueClass)
    monkeypatch.setenv("PROMETHEUS_MULTIPROC_DIR", "unused")


@pytest.fixture
def folder(tmp_path: Path) -> str:
    place = str(tmp_path / "metrics")
    metrics.prepare(place)
    return place


def figures(text: str) -> dict[tuple[str, ...], float]:
    """Samples by name and values of labels."""
    return {(sample.name, *(sample.labels[name] for name in sorted(sample.labels))): sample.value
            for family in text_string_to_metric_families(text) for sample in family.samples}


def read(folder: str) -> dict[tuple[str, ...], float]:
    app = Flask("x")
    metrics.register(app, folder, "0.2.0", "2026.1")
    reply = app.test_client().get("/metrics")
    assert reply.content_type.startswith("text/plain")
    assert reply.headers["Cache-Control"] == "no-store"
    return figures(reply.text)


def end(folder: str, pid: int) -> None:
    """Let the files of this process be those of another that has ended."""
    for kind in ("counter", "histogram"):
        (Path(folder) / f"{kind}_{os.getpid()}.db").rename(Path(folder) / f"{kind}_{pid}.db")
    metrics.add_ended(folder, pid)


def test_requests_are_counted_by_operation_and_class_of_status(folder: str) -> None:
    counts = metrics.Counts(folder, OPERATIONS)
    for status, seconds in ((200, 0.004), (204, 0.02), (304, 0.02), (422, 0.2), (503, 30.0), (101, 0.0), (999, 0.0)):
        counts.add("lye", status, seconds, 0.5, 1_000)
    found = read(folder)
    assert [found["kettlewright_requests_total", "lye", one] for one in ("2xx", "3xx", "4xx", "5xx")] == [3, 1, 1, 2]
    assert found["kettlewright_cpu_seconds_total", "lye"] == 3.5
    assert found["kettlewright_reply_bytes_total", "lye"] == 7_000
    assert found["kettlewright_request_seconds_count", "lye"] == 7
    assert found["kettlewright_request_seconds_bucket", "0.005", "lye"] == 3
    assert found["kettlewright_request_seconds_bucket", "10.0", "lye"] == 6
    assert found["kettlewright_requests_total", "batches", "2xx"] == 0
    assert found["kettlewright_info", "2026.1", "0.2.0"] == 1


@pytest.mark.parametrize("name", [None, "olive-700", "/v1/lye?fat=olive", "mill-lane"])
def test_no_label_comes_from_a_request(folder: str, name: str | None) -> None:
    counts = metrics.Counts(folder, OPERATIONS)
    before = set(read(folder))
    counts.add(name, 404, 0.1, 0.1, 10)
    found = read(folder)
    assert set(found) == before
    assert found["kettlewright_requests_total", "none", "4xx"] == 1


def test_no_count_falls_when_workers_end_and_their_files_go(folder: str) -> None:
    for number in range(5):
        metrics.Counts(folder, OPERATIONS).add("batches", 200, 0.3, 0.25, 10)
        end(folder, 90_000 + number)
        found = read(folder)
        assert found["kettlewright_requests_total", "batches", "2xx"] == number + 1
        assert found["kettlewright_request_seconds_sum", "batches"] == pytest.approx(0.3 * (number + 1))
        assert found["kettlewright_request_seconds_bucket", "0.5", "batches"] == number + 1
        assert found["kettlewright_request_seconds_bucket", "0.25", "batches"] == 0
        assert {file.name for file in Path(folder).iterdir()} == {"counter_ended.db", "histogram_ended.db", "lock"}
    metrics.add_ended(folder, 12)  # of a worker that counted nothing


def test_files_of_a_worker_have_their_space_from_the_start(folder: str) -> None:
    # a page of a mapped file for which there is no space ends the process with SIGBUS (mmap(2))
    counts = metrics.Counts(folder, [f"operation_{number}" for number in range(100)])
    sizes = {file: file.stat().st_size for file in Path(folder).glob("*.db")}
    for number in range(100):
        counts.add(f"operation_{number}", 503, 1.0, 1.0, 1)
    assert {file: file.stat().st_size for file in sizes} == sizes
    for file, size in sizes.items():
        assert file.stat().st_blocks * 512 >= size


def test_without_space_a_worker_counts_nothing_and_leaves_nothing(folder: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_space(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "posix_fallocate", no_space)
    with pytest.raises(OSError, match="No space left"):
        metrics.Counts(folder, OPERATIONS)
    assert not list(Path(folder).glob(f"*_{os.getpid()}.db"))
    with pytest.raises(BadSetting, match=r"KETTLEWRIGHT_METRICS is .* 1 MB for each worker .*: No space left"):
        metrics.prepare(folder)


@pytest.mark.parametrize("content", [b"", b"x", b"\xff" * 64, b"\x40\0\0\0\0\0\0\0\x30\0\0\0{{"])
def test_a_damaged_file_is_put_away_and_the_rest_is_read(folder: str, content: bytes) -> None:
    metrics.Counts(folder, OPERATIONS).add("lye", 200, 0.1, 0.1, 10)
    end(folder, 90_000)
    damaged = Path(folder) / "counter_90001.db"
    damaged.write_bytes(content)
    metrics.add_ended(folder, 90_001)
    assert not damaged.exists()
    assert read(folder)["kettlewright_requests_total", "lye", "2xx"] == 1


def test_only_files_of_counts_are_removed_at_the_start(folder: str) -> None:
    metrics.Counts(folder, OPERATIONS).add("lye", 200, 0.1, 0.1, 10)
    (Path(folder) / "counter_notes.db").write_text("mine")
    metrics.prepare(folder)
    assert sorted(file.name for file in Path(folder).iterdir()) == [
        "counter_ended.db", "counter_notes.db", "histogram_ended.db", "lock"]
    metrics.Counts(folder, OPERATIONS)
    (Path(folder) / "counter_notes.db").unlink()
    assert read(folder)["kettlewright_requests_total", "lye", "2xx"] == 0


def test_a_folder_that_cannot_be_made_stops_the_start(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(BadSetting, match=r"KETTLEWRIGHT_METRICS is '.*/file/x'; it must be a folder"):
        metrics.prepare(str(tmp_path / "file" / "x"))


@dataclass(frozen=True)
class Served:
    """A service whose keys have names."""

    service: Running
    keys: dict[str, str]

    def send(self, path: str, name: str = OPERATOR, body: bytes | None = None) -> Answer:
        """The reply to a request with a key; "" for none."""
        headers = [f"Authorization: Bearer {self.keys[name]}"] if name else []
        return exchange(self.service.port, get(path, *headers) if body is None else post(path, body, *headers))

    def counted(self, **wanted: float) -> str:
        """What Prometheus reads once these requests were counted, which is done after their replies were sent."""
        seen = {}
        for _ in range(200):
            text = self.send("/metrics").body.decode()
            found = figures(text)
            seen = {name: found.get(("kettlewright_requests_total", *name.split("__")), 0) for name in wanted}
            if seen == wanted:
                return text
            time.sleep(0.05)
        raise AssertionError(seen)

    def worker(self) -> int:
        """The only one, once the child that builds the contract has ended."""
        for _ in range(600):
            if len(found := self.workers()) == 1:
                return found[0]
            time.sleep(0.05)
        raise AssertionError(f"children of the main process: {self.workers()}")

    def workers(self) -> list[int]:
        pid = self.service.process.pid
        return [int(one) for one in Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="utf-8").split()]


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    folder = tmp_path_factory.mktemp("metrics")
    made = {role: new_key(role, role, made=date(2026, 1, 1)) for role in (MEMBER, READ_ONLY, OPERATOR)}
    write_key_file(folder / "keys.csv", [key for _, key in made.values()])
    with running(folder, workers="1", metrics=str(folder / "counts"), key_file=str(folder / "keys.csv")) as found:
        yield Served(found, {role: text for role, (text, _) in made.items()})


@pytest.mark.parametrize(("name", "status"), [("", 401), (MEMBER, 403), (READ_ONLY, 403), (OPERATOR, 200)])
def test_only_an_operators_key_opens_it(served: Served, name: str, status: int) -> None:
    reply = served.send("/metrics", name)
    assert reply.status == status
    assert (b"kettlewright_requests_total" in reply.body) is (status == 200)


def test_counts_of_a_worker_that_was_killed_are_kept(served: Served) -> None:
    for _ in range(3):
        assert served.send("/v1/lye", MEMBER, json.dumps(LYE).encode()).status == 200
    served.counted(lye__2xx=3)
    first = served.worker()
    os.kill(first, signal.SIGKILL)
    for _ in range(600):
        if served.workers() not in ([], [first]) and served.send("/readyz").status == 200:
            break
        time.sleep(0.05)
    for path in ("/v1/lye?fat=olive", "/absent"):
        assert served.send(path).status in (404, 422)
    text = served.counted(lye__2xx=3, lye_by_link__4xx=1, none__4xx=1)
    assert figures(text)["kettlewright_cpu_seconds_total", "lye"] > 0
    assert "olive" not in text
    assert not any(part in text for key in served.keys.values() for part in key.split("_", 2)[1:])


def test_without_the_setting_there_is_nothing_at_the_address(client: FlaskClient) -> None:
    assert client.get("/metrics").status_code == 401  # as everywhere where nobody has an operator's key
    assert "/metrics" not in {rule.rule for rule in client.application.url_map.iter_rules()}
