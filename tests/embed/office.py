"""A spreadsheet program without a window, in a locale, with a profile of its own, and hands on it.

It fetches what cells ask for only where the workbook's folder is trusted and links are updated on loading.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import tempfile
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

HANDS = Path(__file__).with_name("calc_hands.py")
SYSTEM_PYTHON = os.environ.get("UNO_PYTHON", "/usr/bin/python3")
PROFILE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema">
<item oor:path="/org.openoffice.Office.Common/Security/Scripting"><prop oor:name="SecureURL" oor:op="fuse">
<value><it>{folder}</it></value></prop></item>
<item oor:path="/org.openoffice.Setup/L10N"><prop oor:name="ooSetupSystemLocale" oor:op="fuse">
<value>{locale}</value></prop></item>
</oor:items>"""


class Calc:
    """The program, obeying: `calc.open(path=...)`, `calc.read(places=[...])` and so on."""

    def __init__(self, hands: subprocess.Popen[str], folder: Path) -> None:
        self._hands, self.folder = hands, folder
        self._answer()

    def _answer(self) -> Any:
        line = self._hands.stdout.readline() if self._hands.stdout else ""
        assert line, "the spreadsheet program went away"
        return json.loads(line)

    def __getattr__(self, do: str) -> Any:
        def obey(**given: Any) -> Any:
            assert self._hands.stdin
            self._hands.stdin.write(json.dumps({"do": do, **given}) + "\n")
            self._hands.stdin.flush()
            return self._answer()
        return obey


@contextmanager
def running_calc(locale: str) -> Iterator[Calc]:
    """The program in a locale such as de-DE; only what was started here is stopped."""
    program = shutil.which("soffice")
    assert program, "soffice is not here; make test-embed installs it"
    home = Path(tempfile.mkdtemp(prefix="calc-"))
    trusted, profile, pipe = home / "trusted", home / "profile", f"calc{uuid.uuid4().hex}"
    trusted.mkdir()
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(
        PROFILE.format(folder=trusted.as_uri(), locale=locale), encoding="utf-8")
    environment = {name: value for name, value in os.environ.items() if "proxy" not in name.lower()}
    office = subprocess.Popen(
        [program, f"-env:UserInstallation={profile.as_uri()}", "--headless", "--norestore", "--nologo",
         f"--accept=pipe,name={pipe};urp"], env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    hands = subprocess.Popen([SYSTEM_PYTHON, str(HANDS), pipe], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                             text=True)
    try:
        calc = Calc(hands, trusted)
        yield calc
        calc.quit()
    finally:
        for process in (hands, office):
            if process.stdin:
                process.stdin.close()
            try:
                process.wait(timeout=20)
            except subprocess.TimeoutExpired:
                process.terminate()
                process.wait(timeout=20)
        shutil.rmtree(home, ignore_errors=True)
