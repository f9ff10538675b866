"""What the image installs: the whole of what the service needs, pinned as in constraints.txt, each with its hashes."""

from __future__ import annotations

import re
from importlib.metadata import requires
from pathlib import Path

import kettlewright
import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[1]
LOCKS = ("docker/requirements.txt", "docker/requirements-build.txt")


def pins(name: str) -> dict[str, str]:
    text = (ROOT / name).read_text(encoding="utf-8")
    return {canonicalize_name(found[1]): found[2] for found in re.finditer(r"(?m)^([\w.-]+)==([^\s;\\]+)", text)}


def needed() -> set[str]:
    """What the service needs, and what that needs in turn, as the installed packages say."""
    found: set[str] = set()
    left = [Requirement("kettlewright")]
    while left:
        one = left.pop()
        for extra in ("", *one.extras):
            for text in requires(one.name) or []:
                more = Requirement(text)
                name = canonicalize_name(more.name)
                if (more.marker is None or more.marker.evaluate({"extra": extra})) and name not in found:
                    found.add(name)
                    left.append(more)
    return found


def test_the_image_installs_what_the_service_needs_and_nothing_else() -> None:
    assert len(needed()) > 20
    # packaging: of the server, whatever the version of Python; typing-extensions: below Python 3.13 only
    assert set(pins("docker/requirements.txt")) == needed() | {"typing-extensions"}


def test_the_pins_of_the_image_are_those_of_the_tests() -> None:
    bare = pins("constraints.txt")
    assert {name: bare.get(name) for name in pins("docker/requirements.txt")} == pins("docker/requirements.txt")


@pytest.mark.parametrize("name", LOCKS)
def test_every_pin_has_hashes_and_names_no_place(name: str) -> None:
    text = (ROOT / name).read_text(encoding="utf-8")
    blocks = re.split(r"(?m)^(?=[\w.-]+==)", text)[1:]
    assert len(blocks) == len(pins(name)) > 15
    for block in blocks:
        assert re.search(r"--hash=sha256:[0-9a-f]{64}", block), block
    assert "://" not in text
    assert "--index" not in text


def test_the_image_bears_the_version_of_the_service() -> None:
    text = (ROOT / "docker" / "Dockerfile").read_text(encoding="utf-8")
    assert re.findall(r"(?m)^ARG VERSION=(.*)$", text) == [kettlewright.__version__]
    labels = re.findall(r"org\.opencontainers\.image\.([a-z.]+)=", text)
    assert {"title", "version", "revision", "licenses", "source", "base.name"} <= set(labels)
