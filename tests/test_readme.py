"""What the README shows is what happens."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import requests
from kettlewright.app import create_app
from werkzeug.serving import make_server

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.fixture
def address() -> Iterator[str]:
    server = make_server("127.0.0.1", 0, create_app(), threaded=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    thread.join()


def block(language: str, number: int = 0) -> str:
    return re.findall(rf"^```{language}\n(.*?)^```", README, re.DOTALL | re.MULTILINE)[number]


def test_the_curl_line_gives_the_figures_that_stand_below_it(address: str) -> None:
    body = json.loads(block("sh").split("-d '")[1].rstrip().removesuffix("'"))
    reply = requests.post(f"{address}/v1/lye", json=body, timeout=10).json()
    said = " ".join(README.split("answers, among other things,")[1].split("## A batch")[0].split())
    assert f"{reply['alkalis'][0]['weigh']:g} g of sodium hydroxide and {reply['water']['weigh']:g} g of water" in said
    likely, peak = reply["superfat"]["likely_pct"], reply["solution"]["peak_temperature"]
    assert f"from {likely['min']:.1f} to {likely['max']:.1f} %" in said
    assert f"{peak['min']:.0f} to {peak['max']:.0f} °C" in said


def test_the_client_snippet_runs(address: str, capsys: pytest.CaptureFixture[str]) -> None:
    exec(compile(block("python").replace("http://127.0.0.1:8000", address), "README.md", "exec"), {})
    printed = capsys.readouterr().out
    assert "jug sodium hydroxide" in printed
    # 250 mm less 8 mm of trim, pieces of 25 mm with cuts of 1 mm between them: 9 x 25 + 8 = 233, a tenth needs 259
    assert printed.rstrip().endswith("9 bars")


def test_the_workings_snippet_prints_what_it_shows(address: str, capsys: pytest.CaptureFixture[str]) -> None:
    snippet = block("python", 1).replace("Client()", f"Client({address!r})")
    exec(compile("from kettlewright_client import Client\n" + snippet, "README.md", "exec"), {})
    printed = capsys.readouterr().out
    assert "pure NaOH\n    share * needed * M\n    1 * 3.21233246 * 39.9971 = 128.484 g\n" in printed
    assert "certificate with the lot's value would narrow" in printed


def test_the_snippet_of_many_plans_prints_a_pot_for_each_example(
        address: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    exec(compile(block("python", 2).replace("http://127.0.0.1:8000", address), "README.md", "exec"), {})
    pots = [float(line) for line in capsys.readouterr().out.split()]
    assert len(pots) == len(list((ROOT / "client" / "examples").glob("*.json")))
    assert min(pots) > 0


def test_the_snippet_of_the_stub_passes_its_own_tests() -> None:
    names: dict[str, Callable[..., object]] = {}
    exec(compile(block("python", 3), "README.md", "exec"), names)
    tests = [thing for name, thing in names.items() if name.startswith("test_")]
    assert len(tests) == 2
    for each in tests:
        each()


def test_the_lines_of_the_command_run(address: str, tmp_path: Path) -> None:
    (tmp_path / "client").symlink_to(ROOT / "client")
    example = json.loads((ROOT / "service/kettlewright/api/examples/cuts.json").read_text(encoding="utf-8"))[0]["body"]
    (tmp_path / "cuts.json").write_text(json.dumps(example), encoding="utf-8")
    lines = block("sh", 1).replace("http://127.0.0.1:8000", address)
    here = {**os.environ, "PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}", "NO_PROXY": "*"}
    found = subprocess.run(["sh", "-eu", "-c", lines], cwd=tmp_path, env=here, capture_output=True, text=True,
                           timeout=120, check=False)
    assert found.returncode == 0, found.stderr
    assert [fat["key"] for fat in json.loads(found.stdout)["fats"]] == ["olive", "olive_pomace"]
    assert (tmp_path / "sheet.html").read_text(encoding="utf-8").startswith("<!doctype html>")
    for picture in ("face.svg", "plan.svg"):
        assert (tmp_path / picture).read_text(encoding="utf-8").startswith("<svg")
    assert json.loads((tmp_path / "out.json").read_text(encoding="utf-8"))["portions"]


def test_the_address_answers_the_figure_that_stands_below_it(address: str) -> None:
    link = block("text")
    reply = requests.get(link.strip().replace("http://127.0.0.1:8000", address), timeout=10)
    assert f"answers `{reply.text}` and nothing else" in README


def test_every_path_of_the_contract_stands_in_the_table() -> None:
    contract = (ROOT / "openapi.yaml").read_text(encoding="utf-8")
    paths = re.findall(r"^  (/[^:]*):$", contract, re.MULTILINE)
    assert len(paths) > 10
    for path in paths:
        assert path == "/" or f"{path}`" in README, path


def test_every_target_it_names_is_in_the_makefile() -> None:
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    papers = README + (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    targets = set(re.findall(r"(?:`|^ {4})make\s+([a-z]+)\b", papers, re.MULTILINE))
    assert {"demo", "test"} < targets
    for target in targets:
        assert re.search(rf"^{target}:", makefile, re.MULTILINE), target
