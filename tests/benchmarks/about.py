"""Which machine, which commits, when; and another commit's service in a folder of its own."""

from __future__ import annotations

import os
import platform
import shutil
import subprocess
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path

__all__ = ["ROOT", "about_the_run", "commit_of", "unpacked"]

ROOT = Path(__file__).resolve().parents[2]
_PACKAGES = ("flask", "marshmallow", "gunicorn", "fastapi", "pydantic", "uvicorn")


def _git(*words: str) -> str:
    return subprocess.run(["git", *words], cwd=ROOT, check=True, capture_output=True, text=True).stdout.strip()


def commit_of(name: str) -> str:
    """The short hash of a commit (`name`)."""
    return _git("rev-parse", "--short", name)


def unpacked(commit: str) -> Path:
    """A folder with the service of a commit (`commit`)."""
    folder = ROOT / "build" / "bench" / commit_of(commit)
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    archive = subprocess.run(["git", "archive", commit, "service"], cwd=ROOT, check=True, capture_output=True).stdout
    subprocess.run(["tar", "-x", "-C", str(folder)], input=archive, check=True)
    return folder


def about_the_run(base: str) -> str:
    """The head of a report (`base`: the commit that is compared with)."""
    changed = " with changes that are not committed" if _git("status", "--porcelain", "--", "service") else ""
    memory = next(line.split()[1] for line in Path("/proc/meminfo").read_text(encoding="utf-8").splitlines()
                  if line.startswith("MemTotal"))
    model = next((line.partition(":")[2].strip() for line in
                  Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines() if line.startswith("model name")),
                 platform.machine())
    packages = ", ".join(f"{name} {version(name)}" for name in _PACKAGES)
    return (f"# Results of make bench\n\n{datetime.now(UTC):%Y-%m-%d %H:%M} UTC. Base {base}, new {commit_of('HEAD')}"
            f"{changed}. {os.cpu_count()} processors ({model}), {int(memory) / 1e6:.0f} GB, load before "
            f"{os.getloadavg()[0]:.1f}; {platform.system()} {platform.release()}, Python {platform.python_version()}; "
            f"{packages}.\nServers and load share the processors. `echo` is a bare Flask echo of the same bytes; "
            "`FastAPI` and `twin` are the same calculation behind FastAPI, pydantic and uvicorn.\n")
