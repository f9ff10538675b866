"""Faults of the machine: full memory file systems, a limit of memory, a clock that is set back."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path

from siege.load import processes_of, start_again
from siege.wire import exchange, get, post
from siege.wrong_bodies import WRONG_BODIES

from faults.scene import Fault, NotRun, Scene, Start, is_root

__all__ = ["FAULTS"]

_GROUPS = (Path("/sys/fs/cgroup/memory"), Path("/sys/fs/cgroup"))
_HEADROOM = 24 * 2**20
_CLOCK = Path(__file__).with_name("clock.c")


def _fill(folder: Path) -> str:
    """Write to a folder until it is full (`folder`); what the system said."""
    try:
        with (folder / "full").open("wb", buffering=0) as out:
            while True:
                out.write(b"x" * 65536)
    except OSError as error:
        return error.strerror


def _own_tmpfs(_: Path) -> Start:
    if not is_root():
        raise NotRun("mounts need root")
    mounts = "; ".join(f"mount -t tmpfs -o size=4m,mode=1777 none {folder}" for folder in ("/tmp", "/dev/shm"))
    return Start(prefix=("unshare", "--mount", "--propagation", "private", "sh", "-c", f'{mounts}; exec "$@"', "sh"))


def _fill_tmpfs(scene: Scene) -> str:
    said = {_fill(Path(f"/proc/{one.process.pid}/root{folder}"))
            for one in scene.instances for folder in ("/tmp", "/dev/shm")}
    time.sleep(3)
    os.kill(processes_of(scene.instances[0])[1], signal.SIGTERM)  # another must start although nothing can be written
    time.sleep(6)
    there = len(processes_of(scene.instances[0])) - 1
    return f"{', '.join(said)}; a worker that had to start anew did: {'yes' if there == 1 else 'NO'}"


def _on_small_disk(folder: Path) -> Start:
    if not is_root():
        raise NotRun("mounts need root")
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=16m", "none", str(folder)], check=True)
    return Start(undo=lambda: subprocess.run(["umount", "--lazy", str(folder)], check=True))


def _fill_disk(scene: Scene) -> str:
    said = _fill(scene.folder)
    time.sleep(5)
    (scene.folder / "full").unlink()
    time.sleep(2)
    return f"{said}; for 5 s no log line and no temporary file could be written"


def _in_group(folder: Path) -> Start:
    root = next((one for one in _GROUPS if any((one / name).exists() for name in ("memory.limit_in_bytes",
                                                                                  "cgroup.procs"))), None)
    if root is None or not is_root():
        raise NotRun("needs root and control groups")
    group = root / f"faults-{folder.name}"
    try:
        group.mkdir()
    except OSError as error:
        raise NotRun(f"no control group can be made: {error.strerror}") from None

    def undo() -> None:
        with suppress(OSError):
            group.rmdir()

    # only the first of the three instances goes into the group
    join = f'mkdir {folder}/taken 2>/dev/null && echo $$ > {group}/cgroup.procs; exec "$@"'
    return Start(prefix=("sh", "-c", join, "sh"), variables={"FAULTS_GROUP": str(group)}, undo=undo)


def _limit_files(group: Path) -> Iterator[Path]:
    yield from (group / name for name in ("memory.limit_in_bytes", "memory.memsw.limit_in_bytes", "memory.max")
                if (group / name).exists())


def _hit_limit(scene: Scene) -> str:
    one = scene.instances[0]
    group = Path(one.environment["FAULTS_GROUP"])
    usage = next(group / name for name in ("memory.usage_in_bytes", "memory.current") if (group / name).exists())
    limit = int(usage.read_text()) + _HEADROOM
    for file in _limit_files(group):
        with suppress(OSError):  # the limit with swap is not everywhere
            file.write_text(str(limit))
    with ThreadPoolExecutor(16) as callers:
        bodies = [post(path, body) for path, body in WRONG_BODIES.values()] * 8
        answers = list(callers.map(lambda body: exchange(one.port, body, timeout=30).status, bodies))
    events = "".join((group / name).read_text() for name in ("memory.oom_control", "memory.events")
                     if (group / name).exists())
    killed = sum(int(line.split()[1]) for line in events.splitlines() if line.startswith("oom_kill "))
    for file in (*_limit_files(group), *_limit_files(group)):  # twice: one must not be above the other
        with suppress(OSError):
            file.write_text("max" if file.name == "memory.max" else "-1")
    time.sleep(3)
    again = ""
    if one.process.poll() is not None:
        start_again(one)
        again = "its main process was among them, and it was started again as a container engine does; "
    for _ in range(100):
        if exchange(one.port, get("/readyz"), timeout=2).status == 200:
            break
        time.sleep(0.1)
    ready = exchange(one.port, get("/readyz"), timeout=2).status
    return (f"limit {limit / 1e6:.0f} MB; {len(answers)} large bodies sent to it alone, {answers.count(0)} without an "
            f"answer; processes killed by the kernel: {killed}; {again}ready afterwards: "
            f"{'yes' if ready == 200 else 'NO'}")


def _own_clock(folder: Path) -> Start:
    """A clock of the day (not the monotonic one) that is off by the seconds in a file; libfaketime breaks sleeping."""
    if shutil.which("cc") is None:
        raise NotRun("needs a C compiler")
    library = folder / "clock.so"
    subprocess.run(["cc", "-shared", "-fPIC", "-O1", "-o", str(library), str(_CLOCK), "-ldl"], check=True)
    (folder / "clock").write_text("0", encoding="ascii")
    return Start(variables={"LD_PRELOAD": str(library), "CLOCK_OFFSET_FILE": str(folder / "clock")})


def _set_back(scene: Scene) -> str:
    def date() -> str:
        return exchange(scene.instances[0].port, get("/healthz"), timeout=5).headers.get("date", "no Date")

    before = date()
    (scene.folder / "clock").write_text("-86400", encoding="ascii")
    time.sleep(6)
    after = date()
    (scene.folder / "clock").write_text("0", encoding="ascii")
    time.sleep(3)
    return (f"time of day of the instances, back and forward again (a library before the C library moves it); Date "
            f"before: {before}; after: {after}")


FAULTS = (
    Fault("/tmp and /dev/shm of the instances full", _fill_tmpfs, prepare=_own_tmpfs, curl_keeps_all=True),
    Fault("disk of the logs and of the proxy full", _fill_disk, prepare=_on_small_disk, curl_keeps_all=True),
    Fault("memory limit of an instance hit", _hit_limit, prepare=_in_group),
    Fault("clock set back a day", _set_back, prepare=_own_clock, curl_keeps_all=True),
)
