"""A service reads its data folder again at SIGHUP; none of the requests is lost, and a bad folder changes nothing."""

from __future__ import annotations

import json
import os
import runpy
import signal
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import kettlewright
import pytest
from api.bodies import LYE, changed
from api.coop.folders import EXAMPLE, write_folder
from api.gunicorn import Running, running
from kettlewright.api.coop import served
from kettlewright.api.coop.folder import BadData, read_folder
from kettlewright.app import create_app
from kettlewright.settings import Settings

BODY = json.dumps(changed(LYE, "/fats/0/fat", "village_shea")).encode()
POST = b"\r\n".join([b"POST /v1/lye HTTP/1.1", b"Host: localhost", b"Connection: close",
                     b"Content-Type: application/json", b"Content-Length: %d" % len(BODY), b"", BODY])
NEW_PRICE = (EXAMPLE / "packs.csv").read_text(encoding="utf-8").replace("34.50", "36.00")


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Running, Path]]:
    folder = write_folder(tmp_path_factory.mktemp("coop") / "data")
    with running(tmp_path_factory.mktemp("gunicorn"), data=str(folder), workers="1") as found:
        yield found, folder


def get(service: Running, path: bytes) -> dict[str, Any]:
    reply = service.send(b"GET " + path + b" HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
    assert reply[0] == 200
    found: dict[str, Any] = json.loads(reply[2])
    return found


def workers(service: Running) -> set[str]:
    return set(Path(f"/proc/{service.process.pid}/task/{service.process.pid}/children").read_text().split())


def wait(until: Callable[[], bool]) -> None:
    for _ in range(400):
        if until():
            return
        time.sleep(0.02)
    raise AssertionError("it did not happen")


def test_no_request_is_lost_when_the_folder_is_read_again_well_or_badly(service: tuple[Running, Path]) -> None:
    gunicorn, folder = service
    first = read_folder(folder).version
    assert get(gunicorn, b"/readyz")["coop_data"] == {"digest": first.digest, "date": first.date}
    counted: Counter[tuple[int, str]] = Counter()
    over = threading.Event()

    def load() -> None:
        while not over.is_set():
            try:
                status, _, body = gunicorn.send(POST)
            except OSError as error:
                status, body = 0, repr(error).encode()
            digest = json.loads(body)["meta"]["coop_data"]["digest"] if status == 200 else body.decode()[:200]
            counted[status, digest] += 1
            time.sleep(0.02)

    def read_again(**files: str) -> None:
        before = workers(gunicorn)
        write_folder(folder, **files)
        os.kill(gunicorn.process.pid, signal.SIGHUP)
        wait(lambda: bool(workers(gunicorn)) and not before & workers(gunicorn))

    threads = [threading.Thread(target=load) for _ in range(3)]
    for thread in threads:
        thread.start()
    try:
        read_again(packs=NEW_PRICE)
        second = read_folder(folder).version
        assert get(gunicorn, b"/readyz")["coop_data"]["digest"] == second.digest != first.digest
        read_again(packs=NEW_PRICE, names="key,inci\nkaolin,\n")  # bad; the workers that start now inherit the other
        assert get(gunicorn, b"/version")["coop_data"]["digest"] == second.digest
    finally:
        over.set()
        for thread in threads:
            thread.join()
    assert set(counted) == {(200, first.digest), (200, second.digest)}, counted
    assert counted[200, second.digest] > 20
    said = [line["message"] for line in gunicorn.lines() if line["logger"] == "kettlewright"]
    assert said == [f"data folder read again: digest {second.digest}, date {second.date}",
                    f"The data folder {folder} has 1 error:",
                    'names.csv, line 2: inci: The line for "kaolin" is empty: give "inci", "inci_as_reacted" or '
                    '"permitted_in"',
                    "the data folder was not read again; the version before is still served"]


def test_a_bad_folder_stops_the_start_and_lists_its_errors(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = write_folder(tmp_path / "data", version=None, names="key\n", certificates=None)
    listed = rf"^The data folder {folder} has 1 error:\n  version\.csv is missing"
    with pytest.raises(BadData, match=listed):
        create_app(Settings(data=str(folder)))
    monkeypatch.setenv("KETTLEWRIGHT_DATA", str(folder))
    with pytest.raises(BadData, match=listed):  # gunicorn prints the words of what its configuration raises, and ends
        runpy.run_path(str(Path(kettlewright.__file__).with_name("gunicorn_conf.py")))


def test_data_are_read_once_until_they_are_read_again(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "data")
    first = served.load_data(str(folder))
    write_folder(folder, names=None, version="date\n2027-01-01\n")
    assert served.load_data(str(folder)) is first
    write_folder(folder, version="date\nnever\n")
    with pytest.raises(BadData):
        served.reload_data(str(folder))
    assert served.load_data(str(folder)) is first
    write_folder(folder, version="date\n2027-01-01\n")
    assert served.reload_data(str(folder)).version.date == "2027-01-01"
    assert served.load_data("") is None


def test_one_application_knows_nothing_of_the_data_of_another(tmp_path: Path) -> None:
    apps = [create_app(Settings(data=str(folder))) for folder in (
        EXAMPLE, write_folder(tmp_path / "data", version="date\n2027-01-01\n"))] + [create_app(Settings())]
    dates = [app.test_client().get("/version").get_json().get("coop_data", {}).get("date") for app in (*apps, *apps)]
    assert dates == ["2026-11-28", "2027-01-01", None] * 2


def test_replies_that_state_the_version_are_asked_for_again() -> None:
    client = create_app(Settings(data=str(EXAMPLE))).test_client()
    for path in ("/v1/fats", "/v1/fats/olive", "/v1/sources", "/v1/cautions"):
        reply = client.get(path)
        assert reply.headers["Cache-Control"] == "public, no-cache"
        assert client.get(path, headers={"If-None-Match": reply.headers["ETag"]}).status_code == 304


def test_every_line_of_a_stream_knows_the_data_and_only_what_it_refers_to() -> None:
    plain = {"recipe": {**LYE, "fats": [{"fat": "olive", "share_pct": 100}]},
             "mould": {"shape": "box", "length": 250, "width": 80, "depth": 70}}
    by_key = changed(plain, "/recipe/fats/0/fat", "village_shea")
    lines = "\n".join(json.dumps(body) for body in (by_key, plain, by_key))
    reply = create_app(Settings(data=str(EXAMPLE))).test_client().post(
        "/v1/batches", data=lines, headers={"Content-Type": "application/x-ndjson"})
    metas = [json.loads(line)["meta"] for line in reply.text.splitlines()]
    assert [[one["key"] for one in meta.get("from_coop", [])] for meta in metas] == [
        ["village_shea"], [], ["village_shea"]]
    assert {meta["coop_data"]["date"] for meta in metas} == {"2026-11-28"}
