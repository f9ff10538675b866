"""Build the image, run it locked down, and put requests, faults and floods to it.

    make test-image

It needs root, buildah, podman, runc and debootstrap, and some minutes. No registry is reached: the base is a minimal
Debian 13 with Debian's Python, in place of the official image. Its tables go to tests/benchmarks/IMAGE.md. It ends with
1 where something is not right.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import time
from pathlib import Path

from siege.report import Row, table

from image.manifests import VERSIONS, manifest_errors
from image.podman import ROOT, Container, build, has_tools, image_sizes, use_folder

OUT = ROOT / "tests" / "benchmarks" / "IMAGE.md"
MOST_MB = 200


def main(folder: Path) -> int:
    """All of it (`folder`: for images and the base)."""
    missing = has_tools()
    if missing or os.geteuid():
        print(f"Not run: this needs root and {', '.join(missing) or 'no more'}.", file=sys.stderr)
        return 2
    use_folder(folder)
    seconds = build(folder)
    whole, base = image_sizes()
    broken = [] if whole - base <= MOST_MB else [f"{whole - base:.0f} MB above the base"]
    text = ["# The image\n\nWritten by `make test-image`. The base is a minimal Debian 13 with Debian's own Python "
            "3.13 (debootstrap), in place of the official Python image, which could not be reached. Base: "
            f"{seconds['base']:.0f} s; image: {seconds['image']:.0f} s. Size: **{whole - base:.0f} MB above the base** "
            f"of {base:.0f} MB (limit {MOST_MB}). Run with no network but a loopback, a read-only root, no "
            "capabilities, no new privileges, 512 MB, 1 processor, 64 processes.\n"]
    with Container() as one:
        ready = one.wait()
        rows = _locks(one)
        rows.append(["ready after", f"{ready:.1f} s", "yes" if ready < 15 else "NO"])
        text.append("## Locks\n\n" + table(["what", "found", "right"], rows))
        text.append("## Content\n\n" + table(["part", "MB"], _content(one)))
        text.append("Labels:\n\n```json\n" + one.labels() + "\n```\n")
        broken += [str(row) for row in rows if row[2] == "NO"]
        found = json.loads(one.beside("env", "PYTHONPATH=tests", sys.executable, "-m", "image.attack"))
        text += [f"## {title}\n\n{section}" for title, section in found["tables"].items()]
        broken += found["broken"]
        held = one.memory_mb()
        text.append(f"The most memory held in all this: {held:.0f} of 537 MB.\n")
        rows = _faults(one)
    rows += _bad_starts()
    broken += [str(row) for row in rows if row[2] == "NO"]
    checked, errors = manifest_errors()
    broken += errors
    text.append(f"## Kubernetes manifests\n\n{checked} checks against the published schemas of Kubernetes "
                f"{', '.join(VERSIONS)} (kubernetes-validate, strict): {len(errors)} errors. No cluster ran here.\n")
    text.append("## Faults\n\n" + table(["fault", "what came of it", "right"], rows))
    if broken:
        text.append("## Not right\n\n" + "\n".join(f"- {one}" for one in broken) + "\n")
    OUT.write_text("\n".join(text), encoding="utf-8")
    print("\n".join(text))
    return 1 if broken else 0


def _right(condition: bool) -> str:
    return "yes" if condition else "NO"


def _locks(one: Container) -> list[Row]:
    rows: list[Row] = []
    for name, field, wanted in (("user", "Uid", "10001"), ("effective capabilities", "CapEff", "0" * 16),
                                ("no new privileges", "NoNewPrivs", "1"), ("seccomp filter", "Seccomp", "2")):
        rows.append([name, one.field(field), _right(one.field(field) == wanted)])
    write = one.inside("python", "-c", "open('/opt/x', 'w')")
    rows.append(["write to the root", write.splitlines()[-1], _right("Read-only file system" in write)])
    for module in ("pip", "ensurepip"):
        found = one.inside("python", "-m", module, "--version")
        rows.append([f"python -m {module}", found.rpartition("/")[2], _right("No module named" in found)])
    tools = one.inside("ls", "/opt/kettlewright/bin").split()
    rows.append(["programs of the service", ", ".join(tools), _right(all(tool.startswith("python") for tool in tools))])
    bill = json.loads(one.inside("cat", "/opt/kettlewright/parts/sbom.cdx.json"))
    rows.append(["parts in the CycloneDX list", f"{len(bill['components'])}, format {bill['specVersion']}",
                 _right(len(bill["components"]) > 20)])
    licences = one.inside("cat", "/opt/kettlewright/parts/licences.csv").splitlines()[1:]
    unknown = sum("UNKNOWN" in line for line in licences)
    rows.append(["licences", f"{len(licences)}, {unknown} unknown", _right(not unknown and len(licences) > 20)])
    health = one.inside("python", "-c",
                        "import urllib.request; print(urllib.request.urlopen('http://127.0.0.1:8000/healthz').status)")
    rows.append(["command of the health check", health, _right(health == "200")])
    return rows


def _content(one: Container) -> list[Row]:
    lines = one.inside("du", "--block-size=100K", "--max-depth=1",
                       f"/opt/kettlewright/lib/{one.inside('ls', '/opt/kettlewright/lib')}/site-packages").splitlines()
    sizes = [(int(size) / 10, Path(name).name) for size, name in (line.split("\t") for line in lines)]
    return [[name, f"{size:.1f}"] for size, name in sorted(sizes, reverse=True)
            if size >= 1 and name != "site-packages"]


def _faults(one: Container) -> list[Row]:
    rows: list[Row] = []
    os.kill(one.workers()[0], signal.SIGKILL)
    time.sleep(3)
    rows.append(["kill -9 of a worker", f"{len(one.workers())} workers after 3 s", _right(len(one.workers()) == 2)])
    stopped = one.workers()[0]
    os.kill(stopped, signal.SIGSTOP)
    time.sleep(1)
    answered = [one.status("/v1/fats") for _ in range(20)]
    os.kill(stopped, signal.SIGCONT)
    rows.append(["one of two workers stopped (SIGSTOP)", f"{answered.count(200)} of 20 requests answered within 3 s",
                 _right(answered.count(200) >= 10)])
    one.wait()
    full = one.inside("python", "-c", "open('/tmp/full', 'wb').write(b'x' * 2**25)")
    rows.append(["/tmp is full", f"{full.splitlines()[-1]}; /readyz {one.status()}, /v1/fats {one.status('/v1/fats')}",
                 _right("No space left" in full and one.status("/v1/fats") == 200)])
    begun = time.monotonic()
    status = one.stop()
    rows.append(["SIGTERM", f"exit status {status} after {time.monotonic() - begun:.1f} s", _right(status == 0)])
    lines = [line for line in one.logs().splitlines() if line.strip()]
    odd = [line for line in lines if not line.startswith("{")]
    rows.append(["log", f"{len(lines)} lines, {len(odd)} that are not JSON", _right(not odd)])
    return rows


def _bad_starts() -> list[Row]:
    rows: list[Row] = []
    for setting in ("KETTLEWRIGHT_WORKER=3", "KETTLEWRIGHT_LISTEN=0.0.0.0:99999"):
        with Container(setting) as one:
            status = one.exit_status()
            last = one.logs().strip().splitlines()[-1]
        rows.append([f"started with {setting}", f"exit status {status}: {last}",
                     _right(status != 0 and setting.split("=")[0] in last)])
    return rows


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1] if len(sys.argv) > 1 else "build/image").resolve()))
