"""Keys under a real gunicorn: the log shows neither keys nor recipes, SIGHUP reads the file again, and a bad file opens
nothing.
"""

from __future__ import annotations

import json
import os
import signal
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest
from kettlewright.keys import MEMBER, OPERATOR, READ_ONLY, Key, new_key, write_key_file

from api.bodies import LYE
from api.gunicorn import Running, running

LINK = "/v1/lye?fat=olive,mass:700,lot:nuit-secret&superfat_pct=5&alkali=NaOH&water=water_to_alkali:2"
APP = """
from kettlewright.app import create_app
from kettlewright.api.endpoints import lye

plan_lye = lye.plan.plan_lye

def broken(recipe, *more, **named):
    if recipe.superfat_pct == 13:
        raise RuntimeError(f"secret of the house: {recipe}")
    return plan_lye(recipe, *more, **named)

def make():
    lye.plan.plan_lye = broken
    return create_app()
"""


@dataclass(frozen=True)
class Keyed:
    service: Running
    path: Path
    texts: dict[str, str]
    keys: dict[str, Key]

    def ask(self, target: str, name: str | None = None, *, method: str = "GET", body: bytes = b"", more: str = ""
            ) -> tuple[int, dict[str, str], bytes]:
        """A request, with the key of a name in its header."""
        head = f"{method} {target} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n{more}"
        head += f"Authorization: Bearer {self.texts[name]}\r\n" if name else ""
        head += f"Content-Type: application/json\r\nContent-Length: {len(body)}\r\n" if method == "POST" else ""
        return self.service.send(head.encode() + b"\r\n" + body)

    def reload(self) -> None:
        """Send SIGHUP, and wait until only new workers are there."""
        before = self._workers()
        os.kill(self.service.process.pid, signal.SIGHUP)
        for _ in range(600):
            now = self._workers()
            if now and not now & before:
                return
            time.sleep(.02)
        raise AssertionError("the workers were not replaced")

    def _workers(self) -> set[str]:
        pid = self.service.process.pid
        return set(Path(f"/proc/{pid}/task/{pid}/children").read_text().split())

    def messages(self) -> list[str]:
        return [line["message"] for line in self.service.lines() if line["logger"] == "kettlewright"]


@pytest.fixture(scope="module")
def keyed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Keyed]:
    folder = tmp_path_factory.mktemp("keyed")
    made = {name: new_key(name, role, made=date(2027, 1, 1), requests_per_month=few) for name, role, few in (
        ("anna", MEMBER, None), ("ben", MEMBER, None), ("cell", READ_ONLY, None), ("boss", OPERATOR, None),
        ("few", MEMBER, 1))}
    keys = {name: key for name, (_, key) in made.items()}
    write_key_file(folder / "keys.csv", keys.values())
    (folder / "keyed_app.py").write_text(APP, encoding="utf-8")
    path = folder / "keys.csv"
    with running(folder, "keyed_app:make()", workers="1", key_file=str(path), log_level="debug") as found:
        yield Keyed(found, path, {name: text for name, (text, _) in made.items()}, keys)


BODY = json.dumps({**LYE, "fats": [{"name": "nuit-secret", "saponification_value": {"min": 180, "max": 190},
                                    "mass": 700}]}).encode()
BROKEN = json.dumps({**LYE, "superfat_pct": 13}).encode()
CASES = [  # target, key in the header, body of a POST, status, key in the log
    (LINK, "anna", b"", 200, "anna"), ("/v1/lye", "anna", BODY, 200, "anna"), ("/v1/lye", "cell", BODY, 403, "cell"),
    ("/v1/lye", None, BODY, 401, None), (f"{LINK}&key=CELL", None, b"", 200, "cell"),
    ("/v1/lye?key=CELL", None, BODY, 403, "cell"), (f"{LINK}&nuit-secret=1&key=CELL", None, b"", 422, "cell"),
    ("/v1/fats?key=ANNA", None, b"", 403, "anna"), ("/v1/fats?key=CELL", "anna", b"", 400, None),
    ("/v1/nothing?key=CELL&fat=nuit-secret", None, b"", 404, "cell"), ("/?key=CELL", None, b"", 200, None),
    ("/v1/lye?fat=%zz&key=CELL", None, b"", 400, "cell"), ("/v1/lye", "anna", b'{"nuit-secret', 400, "anna"),
    (f"/v1/lye?key=CELL&fat={'nuit-secret' * 300}", None, b"", 414, "cell"), ("/metrics", "anna", b"", 403, "anna"),
    ("/v1/lye", "anna", BROKEN, 500, "anna"), ("/v1/fats", "few", b"", 429, "few"), ("/ANNA", "ben", b"", 404, "ben"),
    ("/v1/fats/CELL?key=CELL", None, b"", 404, "cell")]


def test_the_log_names_the_key_and_shows_neither_it_nor_a_recipe(keyed: Keyed) -> None:
    cell, anna = keyed.texts["cell"], keyed.texts["anna"]
    keyed.ask("/v1/fats", "few")  # all that its quota allows
    for number, (target, name, body, status, logged) in enumerate(CASES):
        answer = keyed.ask(target.replace("CELL", cell).replace("ANNA", anna), name, body=body,
                           method="POST" if body else "GET", more=f"X-Request-ID: log-{number}\r\n")
        assert answer[0] == status, (target, answer)
        assert keyed.service.wait_for(f"log-{number}")["key_name"] == logged, target
    for wrong in (f"GET /v1/fats?key={cell} bad HTTP/1.1\r\n\r\n", f"{anna}\r\n\r\n",
                  f"GET /v1/fats HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer {anna}\r\nX y: z\r\n\r\n",
                  f"GET /v1/fats HTTP/1.1\r\nHost: localhost\r\nX-Request-ID: {anna}\r\n\r\n"):
        assert keyed.service.send(wrong.encode(), close=True)[0] in (400, 401)
    text = keyed.service.log.read_text(encoding="utf-8")
    assert "RuntimeError" in text
    assert "nuit" not in text
    assert "secret" not in text
    for key in keyed.texts.values():
        assert key.split("_", 2)[2][:12] not in text
    for entry in keyed.keys.values():
        assert entry.sha256 not in text


def test_sighup_reads_the_file_again_and_a_bad_file_changes_nothing(keyed: Keyed) -> None:
    try:
        write_key_file(keyed.path, [key for name, key in keyed.keys.items() if name != "anna"])
        assert keyed.ask("/v1/fats", "anna")[0] == 200  # not before the signal
        keyed.reload()
        assert [keyed.ask("/v1/fats", name)[0] for name in ("anna", "ben", None)] == [401, 200, 401]
        assert keyed.messages()[-1] == "keys read: 4"

        keyed.path.write_text("", encoding="utf-8")
        keyed.reload()
        assert [keyed.ask("/v1/fats", name)[0] for name in ("anna", "ben", None)] == [401, 200, 401]
        assert keyed.messages()[-1].startswith("the key file cannot be used, the keys read before remain valid: "
                                               f"{keyed.path}:1: the file is empty; the first line must be name,role,")
    finally:
        write_key_file(keyed.path, keyed.keys.values())
        keyed.reload()
    assert keyed.ask("/v1/fats", "anna")[0] == 200
