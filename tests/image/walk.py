"""The walk of an operator who starts with an empty machine: the commands of docker/README.md, with the time of each.

    PYTHONPATH=tests python -m image.walk

Root, buildah, podman, runc and debootstrap, as `make test-image`; podman and buildah in place of Docker, a base of our
own in place of the official one, a container without a network of its own in place of a published port.
"""

from __future__ import annotations

import json
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from siege.report import Row, table

from image.podman import BASE, IMAGE, LOCKED, ROOT, build_image, has_tools, run_it, use_folder

_LYE = {"fats": [{"fat": "olive", "mass": 700}, {"fat": "coconut", "mass": 300}], "superfat_pct": 5,
        "alkalis": [{"alkali": "NaOH", "purity_pct": 98}], "water": {"water_to_alkali": 2}}


def _once(folder: Path, *command: str) -> str:
    """A command of the image on the operator's folder."""
    return run_it("podman", "run", "--rm", "--network", "none", "--user", str(os.getuid()), "--volume",
                  f"{folder}:/workshop", IMAGE, *command)


class Walk:
    """The steps, and what each took (`folder`: of the operator)."""

    def __init__(self, folder: Path) -> None:
        self.rows: list[Row] = []
        self._folder, self._keys = folder, dict[str, str]()
        self._id = self._pid = ""

    def step(self, what: str, do: Callable[[], str]) -> None:
        """Do one (`what`, `do`: says what came of it)."""
        begun = time.monotonic()
        came = do()
        seconds = time.monotonic() - begun
        self.rows.append([len(self.rows) + 1, what, f"{seconds:.0f} s" if seconds >= 10 else f"{seconds:.1f} s", came])
        print(" | ".join(str(cell) for cell in self.rows[-1]), flush=True)

    def clone(self) -> str:
        """Fetch the project."""
        run_it("git", "clone", "--quiet", str(ROOT), str(self._folder / "kettlewright"))
        return f"{len(list((self._folder / 'kettlewright').iterdir()))} entries"

    def build(self) -> str:
        """Build the image."""
        build_image(self._folder / "kettlewright")
        return run_it("podman", "image", "inspect", IMAGE, "--format", "{{.Size}}").strip() + " bytes with its base"

    def keys(self) -> str:
        """Make two keys."""
        for name, *more in (("anna", "--requests", "20000"), ("operator", "--role", "operator")):
            said = _once(self._folder, "python", "-m", "kettlewright.keys", "--file", "/workshop/keys.csv", "new", name,
                         *more)
            self._keys[name] = next(word for word in said.split() if word.startswith("kw_"))
        return f"{len(self._keys)} keys, printed once"

    def data(self) -> str:
        """Own data, checked."""
        shutil.copytree(self._folder / "kettlewright" / "docker" / "data.example", self._folder / "data")
        return _once(self._folder, "python", "-m", "kettlewright.check_data", "/workshop/data").strip().splitlines()[-1]

    def start(self) -> str:
        """Start it and wait until it is ready."""
        settings = [part for one in ("KETTLEWRIGHT_KEY_FILE=/workshop/keys.csv", "KETTLEWRIGHT_DATA=/workshop/data",
                                     "KETTLEWRIGHT_METRICS=/dev/shm/kettlewright-metrics") for part in ("--env", one)]
        self._id = run_it("podman", "run", "--detach", "--no-healthcheck", *LOCKED, "--volume",
                          f"{self._folder}:/workshop:ro", *settings, IMAGE).strip()
        self._pid = run_it("podman", "inspect", "--format", "{{.State.Pid}}", self._id).strip()
        for _ in range(600):
            if self._curl("/readyz", check=False).startswith("{"):
                return "ready"
            time.sleep(0.1)
        raise AssertionError(run_it("podman", "logs", self._id, check=False))

    def _curl(self, path: str, *more: str, check: bool = True) -> str:
        return run_it("nsenter", "--target", self._pid, "--net", "curl", "--silent", "--max-time", "10", *more,
                      f"http://127.0.0.1:8000{path}", check=check)

    def _as(self, name: str) -> list[str]:
        return ["--header", f"Authorization: Bearer {self._keys[name]}"]

    def ask(self) -> str:
        """The first recipe."""
        found = json.loads(self._curl("/v1/lye", *self._as("anna"), "--json", json.dumps(_LYE)))
        first = found["weigh_list"][0]
        return f"{first['name']}: {first['weigh']} {first['unit']}"

    def metrics(self) -> str:
        """What Prometheus reads."""
        refused = self._curl("/metrics", *self._as("anna"), "--output", "/dev/null", "--write-out", "%{http_code}")
        lines = self._curl("/metrics", *self._as("operator")).splitlines()
        return f"{len(lines)} lines with the operator's key; {refused} with a member's"

    def report(self) -> str:
        """Who used what."""
        log = self._folder / "access.log"
        log.write_text(run_it("podman", "logs", self._id, check=False), encoding="utf-8")
        said = _once(self._folder, "python", "-m", "kettlewright.report", "/workshop/access.log", "--member", "anna")
        return next(line for line in said.splitlines() if line.startswith("requests"))

    def stop(self) -> str:
        """Stop it."""
        run_it("podman", "stop", "--time", "20", self._id)
        return f"exit status {run_it('podman', 'inspect', '--format', '{{.State.ExitCode}}', self._id).strip()}"

    def put_away(self) -> None:
        """Remove the container."""
        if self._id:
            run_it("podman", "rm", "--force", "--time", "5", self._id)


def main(images: Path) -> int:
    """Walk (`images`: where images and the base are kept)."""
    missing = has_tools()
    if missing or os.geteuid():
        print(f"Not run: this needs root and {', '.join(missing) or 'no more'}.", file=sys.stderr)
        return 2
    use_folder(images)
    begun = time.monotonic()
    run_it("sh", "tests/image/base.sh", BASE, str(images / "base"))
    print(f"base of our own (an operator pulls the official one): {time.monotonic() - begun:.0f} s", flush=True)
    with tempfile.TemporaryDirectory(prefix="walk-") as made:
        folder = Path(made)
        folder.chmod(0o755)
        walk = Walk(folder)
        try:
            for what, do in (("git clone", walk.clone), ("docker build", walk.build),
                             ("kettlewright.keys new anna, new operator", walk.keys),
                             ("data of your own, kettlewright.check_data", walk.data),
                             ("docker run, until /readyz", walk.start), ("curl /v1/lye with anna's key", walk.ask),
                             ("curl /metrics", walk.metrics), ("kettlewright.report", walk.report),
                             ("docker stop", walk.stop)):
                walk.step(what, do)
        finally:
            walk.put_away()
    print("\n" + table(["", "step", "took", "what came of it"], walk.rows))
    return 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1] if len(sys.argv) > 1 else "build/image").resolve()))
