"""Faults of what an operator edits: a data folder that is replaced halfway, a key file that is emptied."""

from __future__ import annotations

import os
import shutil
import signal
import time
from datetime import date
from pathlib import Path

from kettlewright.keys import new_key, write_key_file
from siege.load import processes_of
from siege.wire import exchange, get

from faults.scene import Fault, Scene, Start

__all__ = ["FAULTS"]

_EXAMPLE = Path(__file__).resolve().parents[2] / "docker" / "data.example"


def _reload(scene: Scene) -> None:
    """SIGHUP to each instance, which then has new workers."""
    for one in scene.instances:
        before = processes_of(one)[1:]
        os.kill(one.process.pid, signal.SIGHUP)
        for _ in range(600):
            now = processes_of(one)[1:]
            if now and not set(now) & set(before):
                break
            time.sleep(0.05)
        time.sleep(1)


def _messages(scene: Scene, part: str) -> int:
    """How many instances have logged this."""
    return sum(any(part in str(line.get("message")) for line in one.lines()) for one in scene.instances)


def _with_data(folder: Path) -> Start:
    shutil.copytree(_EXAMPLE, folder / "data")
    return Start(settings={"data": str(folder / "data")})


def _replace_data(scene: Scene) -> str:
    data, fresh = scene.folder / "data", scene.folder / "fresh"
    shutil.copytree(data, fresh)
    (fresh / "version.csv").write_text("date\n2026-11-28\n", encoding="utf-8")
    fats = (data / "fats.csv").read_bytes()
    (data / "fats.csv").write_bytes(fats[:len(fats) * 2 // 3])  # the copy stopped in the middle of a line
    (data / "names.csv").unlink()
    _reload(scene)
    refused = _messages(scene, "the data folder was not read again")
    data.rename(scene.folder / "old")
    time.sleep(1)
    os.kill(processes_of(scene.instances[0])[1], signal.SIGTERM)  # a worker starts while there is no folder at all
    time.sleep(4)
    fresh.rename(data)
    _reload(scene)
    taken = sum(b"2026-11-28" in exchange(one.port, get("/version"), timeout=5).body for one in scene.instances)
    return (f"fats.csv cut in the middle, names.csv gone, SIGHUP: refused by {refused} of 3 instances, which served "
            f"the version before; then no folder while a worker started; then a whole one: served by {taken} of 3")


def _with_keys(folder: Path) -> Start:
    text, key = new_key("mill-lane", made=date(2026, 1, 1))
    write_key_file(folder / "keys.csv", [key])
    return Start(settings={"key_file": str(folder / "keys.csv")}, headers={"Authorization": f"Bearer {text}"})


def _empty_keys(scene: Scene) -> str:
    (scene.folder / "keys.csv").write_bytes(b"")
    _reload(scene)
    os.kill(processes_of(scene.instances[0])[1], signal.SIGTERM)
    time.sleep(4)
    without = exchange(scene.proxy.port, get("/v1/fats"), timeout=5).status
    kept = _messages(scene, "the keys read before remain valid")
    return (f"SIGHUP, and a worker that started anew: {kept} of 3 instances logged that the keys before remain valid; "
            f"without a key: {without}")


FAULTS = (
    Fault("data folder replaced halfway", _replace_data, prepare=_with_data, curl_keeps_all=True),
    Fault("key file emptied", _empty_keys, prepare=_with_keys, curl_keeps_all=True),
)
