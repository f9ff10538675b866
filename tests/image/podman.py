"""The image built with buildah from a base of our own, and run locked down with podman."""

from __future__ import annotations

import json
import os
import subprocess
import time
from pathlib import Path

__all__ = ["BASE", "IMAGE", "LOCKED", "ROOT", "Container", "build", "build_image", "has_tools", "image_sizes", "run_it",
           "use_folder"]

ROOT = Path(__file__).resolve().parents[2]
BASE = "docker.io/library/python:3.13-slim-trixie"
IMAGE = "localhost/kettlewright:test"
TOOLS = ("buildah", "podman", "runc", "debootstrap", "nsenter")
LOCKED = ("--network", "none", "--read-only", "--read-only-tmpfs=false", "--tmpfs", "/tmp:size=16m,mode=1777",
          "--cap-drop", "ALL", "--security-opt", "no-new-privileges", "--memory", "512m", "--memory-swap", "512m",
          "--cpus", "1", "--pids-limit", "64")
_CONF = """[containers]
default_ulimits = ["nofile=4096:4096", "nproc=1024:1024"]
[engine]
runtime = "runc"
cgroup_manager = "cgroupfs"
events_logger = "file"
"""


def run_it(*command: str, timeout: float = 900.0, check: bool = True) -> str:
    """What a command writes (`command`, `timeout`, `check`: it must succeed)."""
    done = subprocess.run(command, capture_output=True, text=True, timeout=timeout, cwd=ROOT)
    if check and done.returncode:
        raise AssertionError(f"{' '.join(command)}: {done.returncode}\n{done.stdout[-2000:]}{done.stderr[-4000:]}")
    return done.stdout + ("" if check else done.stderr)


def has_tools() -> list[str]:
    """The tools that are missing here."""
    return [tool for tool in TOOLS if subprocess.run(["which", tool], capture_output=True).returncode]


def use_folder(folder: Path) -> None:
    """Keep images and containers in a folder of our own (`folder`), apart from those of the machine."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "containers.conf").write_text(_CONF, encoding="utf-8")
    (folder / "storage.conf").write_text(f'[storage]\ndriver = "overlay"\ngraphroot = "{folder}/storage"\n'
                                         f'runroot = "{folder}/run"\n', encoding="utf-8")
    os.environ["CONTAINERS_CONF"] = str(folder / "containers.conf")
    os.environ["CONTAINERS_STORAGE_CONF"] = str(folder / "storage.conf")


def build(folder: Path) -> dict[str, float]:
    """Base and image (`folder`: for the base's files); the seconds of each step."""
    begun = time.monotonic()
    run_it("sh", "tests/image/base.sh", BASE, str(folder / "base"))
    middle = time.monotonic()
    build_image(ROOT)
    return {"base": middle - begun, "image": time.monotonic() - middle}


def build_image(project: Path) -> None:
    """The image of a checkout (`project`: its folder)."""
    bundle = "/etc/ssl/certs/ca-certificates.crt"  # so that pip trusts what this machine trusts; not in the image
    trusted = ["--volume", f"{bundle}:{bundle}:ro"] if Path(bundle).exists() else []
    revision = run_it("git", "-C", str(project), "rev-parse", "HEAD").strip()
    run_it("buildah", "bud", "--pull-never", "--format", "docker", "--isolation", "chroot", "--ignorefile",
           f"{project}/docker/Dockerfile.dockerignore", *trusted, "--build-arg", f"REVISION={revision}", "-f",
           f"{project}/docker/Dockerfile", "-t", IMAGE, str(project))


def image_sizes() -> tuple[float, float]:
    """Of the image and of its base. [MB]"""
    sizes = [int(run_it("podman", "image", "inspect", name, "--format", "{{.Size}}")) / 1e6 for name in (IMAGE, BASE)]
    return sizes[0], sizes[1]


class Container:
    """A container of the image that runs, until the block ends.

    Parameters
    ----------
    settings : str
        NAME=value of its environment. [text]
    """

    def __init__(self, *settings: str) -> None:
        given = [part for one in settings for part in ("--env", one)]
        self.id = run_it("podman", "run", "--detach", "--no-healthcheck", *LOCKED, *given, IMAGE).strip()
        self.pid = int(self._said("{{.State.Pid}}"))

    def __enter__(self) -> Container:
        return self

    def __exit__(self, *_: object) -> None:
        run_it("podman", "rm", "--force", "--time", "5", self.id)

    def _said(self, template: str) -> str:
        return run_it("podman", "inspect", "--format", template, self.id).strip()

    def inside(self, *command: str) -> str:
        """What a command in the container writes (`command`)."""
        return run_it("podman", "exec", self.id, *command, check=False).strip()

    def beside(self, *command: str, timeout: float = 900.0) -> str:
        """What a command of this machine writes in the container's network (`command`, `timeout`)."""
        return run_it("nsenter", "--target", str(self.pid), "--net", *command, timeout=timeout)

    def status(self, path: str = "/readyz") -> int:
        """Of an address, 0 for none (`path`)."""
        return int(run_it("nsenter", "--target", str(self.pid), "--net", "curl", "--silent", "--output", "/dev/null",
                          "--max-time", "3", "--write-out", "%{http_code}", f"http://127.0.0.1:8000{path}",
                          check=False).strip()[:3] or 0)

    def wait(self, seconds: float = 60.0) -> float:
        """Until it is ready; how long that took (`seconds`: at most). [s]"""
        begun = time.monotonic()
        while self.status() != 200:
            if time.monotonic() - begun > seconds:
                raise AssertionError(f"not ready: {self.logs()[-2000:]}")
            time.sleep(0.1)
        return time.monotonic() - begun

    def stop(self) -> int:
        """End it as an operator does; its exit status."""
        run_it("podman", "stop", "--time", "20", self.id)
        return int(self._said("{{.State.ExitCode}}"))

    def exit_status(self, seconds: float = 30.0) -> int:
        """Of a container that should end on its own (`seconds`: at most)."""
        return int(run_it("podman", "wait", self.id, timeout=seconds).strip())

    def logs(self) -> str:
        """What it wrote. [text]"""
        return run_it("podman", "logs", self.id, check=False)

    def workers(self) -> list[int]:
        """Process ids of its workers, seen from this machine."""
        return [int(one) for one in Path(f"/proc/{self.pid}/task/{self.pid}/children").read_text().split()]

    def field(self, name: str) -> str:
        """Of the status of its main process (`name`)."""
        lines = Path(f"/proc/{self.pid}/status").read_text(encoding="utf-8").splitlines()
        return next(line.split(":", 1)[1].split()[0] for line in lines if line.startswith(f"{name}:"))

    def memory_mb(self) -> float:
        """The most it held, as its control group counts. [MB]"""
        groups = dict(line.split(":")[1:] for line in Path(f"/proc/{self.pid}/cgroup").read_text().splitlines())
        old = Path(f"/sys/fs/cgroup/memory{groups.get('memory', '')}/memory.max_usage_in_bytes")
        new = Path(f"/sys/fs/cgroup{groups.get('', '')}/memory.peak")
        return int((old if old.exists() else new).read_text()) / 1e6

    def labels(self) -> str:
        """Labels of its image. [JSON]"""
        return json.dumps(json.loads(run_it("podman", "image", "inspect", IMAGE, "--format", "{{json .Labels}}")),
                          indent=1)
