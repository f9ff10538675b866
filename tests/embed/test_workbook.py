"""The workbook in a real spreadsheet program, in a locale with points and in one with commas. make test-embed.

What a cell shows is held to the answer of POST /v1/lye to the same recipe, over HTTP on the loopback.
"""

from __future__ import annotations

import json
import re
import socket
import subprocess
import sys
import urllib.error
import urllib.request
import zipfile
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest
from kettlewright.app import create_app
from openpyxl import load_workbook
from werkzeug.serving import make_server

from .hosts import running
from .office import Calc, running_calc

BUILDER = Path(__file__).parents[2] / "client" / "examples" / "workbook" / "build_workbook.py"
EXAMPLE = json.loads(BUILDER.with_name("hearth_bar.json").read_text(encoding="utf-8"))
TWO_ALKALIS = {
    "fats": [{"fat": "olive", "mass": 24.35},
             {"name": "Kürbis: kalt, 1\\2 & mehr", "saponification_value": {"min": 185.5, "max": 198}, "mass": 8.125}],
    "superfat_pct": 3.25,
    "alkalis": [{"alkali": "KOH", "share_pct": 62.5, "purity_at_least_pct": 88.5},
                {"alkali": "NaOH", "share_pct": 37.5, "purity_pct": 99.25}],
    "water": {"water_to_alkali": 2.15}, "units": {"mass": "oz"}, "locale": "de"}
NONE = "no figure"
FIGURES = {  # the place of a figure: where POST tells it
    "Plan.B35": "water.weigh", "Plan.B36": "superfat.achieved_pct", "Plan.B37": "superfat.likely_pct.min",
    "Plan.B38": "superfat.likely_pct.max", "Plan.B39": "solution.mass", "Plan.B40": "solution.concentration_pct",
    "Plan.B41": "solution.peak_temperature.max", "Plan.B42": "vessels.jug", "Plan.B43": "batter.mass",
    "Plan.B44": "vessels.pot"}


class Host:
    """The service, and what it was asked."""

    def __init__(self) -> None:
        self.asked: list[tuple[str, str]] = []
        self._app = create_app()
        self.address = ""

    def __call__(self, environ: dict[str, Any], start: Any) -> Any:
        self.asked.append((environ["REQUEST_METHOD"], f"{environ['PATH_INFO']}?{environ['QUERY_STRING']}"))
        return self._app(environ, start)

    def post(self, body: dict[str, Any]) -> dict[str, Any]:
        request = urllib.request.Request(f"{self.address}/v1/lye", json.dumps(body).encode(),
                                         {"Content-Type": "application/json"})
        with urllib.request.urlopen(request, timeout=20) as reply:
            return json.load(reply)


@pytest.fixture(scope="module")
def host() -> Iterator[Host]:
    found = Host()
    with running(make_server("127.0.0.1", 0, found, threaded=True)) as found.address:
        yield found


@pytest.fixture(scope="module", params=["en-US", "de-DE"])
def calc(request: pytest.FixtureRequest) -> Iterator[Calc]:
    with running_calc(request.param) as found:
        found.sign = "," if request.param == "de-DE" else "."
        yield found


@pytest.fixture
def opened(calc: Calc, host: Host, tmp_path: Path) -> Iterator[Callable[..., None]]:
    """Builds the workbook of a recipe and opens it."""
    books: list[Path] = []

    def build_and_open(body: dict[str, Any] = EXAMPLE, service: str = "") -> None:
        books.append(written(tmp_path, body, service or host.address, calc.folder / f"{tmp_path.name}.xlsx"))
        host.asked.clear()
        calc.open(path=str(books[-1]))
    yield build_and_open
    if books:
        calc.close()


def written(folder: Path, body: dict[str, Any], service: str, out: Path) -> Path:
    """The workbook, as the command writes it."""
    recipe = folder / "evening_batch.json"
    recipe.write_text(json.dumps(body), encoding="utf-8")
    subprocess.run([sys.executable, str(BUILDER), "--recipe", str(recipe), "--service", service, "--out", str(out)],
                   check=True, capture_output=True)
    return out


def fresh(mass: float) -> dict[str, Any]:
    """The example with a mass nobody asked before: the program remembers some answers for some seconds."""
    return {**EXAMPLE, "fats": [{"fat": "olive", "mass": mass}, *EXAMPLE["fats"][1:]]}


def everything(calc: Calc) -> None:
    """Look at every cell: what nobody looks at is not worked out."""
    for sheet in ("Plan", "Print", "Addresses"):
        assert calc.errors(sheet=sheet) == []


def at(document: Any, path: str) -> Any:
    for step in path.split("."):
        document = document[int(step) if step.isdigit() else step]
    return document


def the_same(calc: Calc, reply: dict[str, Any], fats: list[int], alkalis: list[int]) -> None:
    """Every figure of the sheet is the reply's; `fats`, `alkalis` are the rows in which they stand."""
    expected = {place: at(reply, path) for place, path in FIGURES.items() if "peak" not in path}
    expected |= {f"Plan.E{row}": fat["weigh"] for row, fat in zip(fats, reply["fats"], strict=True)}
    expected |= {f"Plan.E{row}": alkali["weigh"] for row, alkali in zip(alkalis, reply["alkalis"], strict=True)}
    expected["Plan.B47"] = reply["worst_severity"]
    expected["cautions_count"] = len(reply["cautions"])
    most_severe_first = sorted(reply["cautions"], key=lambda one: one["severity"] != reply["worst_severity"])
    for row, caution in enumerate(most_severe_first, 50):
        expected[f"Plan.A{row}"] = caution["message"]
    expected["missing"] = 0
    assert dict(zip(expected, calc.read(places=list(expected)), strict=True)) == expected


@pytest.mark.parametrize(("body", "alkalis"), [(EXAMPLE, [27]), (TWO_ALKALIS, [27, 28])],
                         ids=["example", "two alkalis"])
def test_every_figure_is_that_of_the_post(opened: Callable[..., None], calc: Calc, host: Host, body: dict[str, Any],
                                          alkalis: list[int]) -> None:
    opened(body)
    reply = host.post(body)
    the_same(calc, reply, [14 + row for row in range(len(body["fats"]))], alkalis)
    peak = reply["solution"]["peak_temperature"]["max"] if "temperatures" in body else "not asked"
    assert calc.read(places=["Plan.B41"]) == [peak]
    everything(calc)


def test_a_figure_is_shown_with_the_sign_of_the_locale(opened: Callable[..., None], calc: Calc, host: Host) -> None:
    opened()
    weigh = host.post(EXAMPLE)["alkalis"][0]["weigh"]
    assert weigh != int(weigh)
    assert calc.shown(places=["Plan.E27", "decimal_sign"]) == [str(weigh).replace(".", calc.sign), calc.sign]


def test_numbers_that_are_typed_reach_the_service_as_they_are(opened: Callable[..., None], calc: Calc,
                                                             host: Host) -> None:
    opened()
    typed = {"B7": 4.75, "B14": 52.5, "B15": 1234.56789, "B16": 0.5, "B9": 30.25, "D27": 97.5, "B10": 7.5}
    for place, number in typed.items():
        calc.type(place=f"Plan.{place}", text=str(number).replace(".", calc.sign))
    body = json.loads(json.dumps(EXAMPLE))
    for fat, mass in zip(body["fats"], (52.5, 1234.56789, 0.5), strict=True):
        fat["mass"] = mass
    body |= {"superfat_pct": 4.75, "water": {"lye_concentration_pct": 30.25}, "temperatures": {"water": 7.5}}
    body["alkalis"][0]["purity_at_least_pct"] = 97.5
    the_same(calc, host.post(body), [14, 15, 16], [27])


def test_rows_may_stand_apart(opened: Callable[..., None], calc: Calc, host: Host) -> None:
    opened()
    for place in ("A15", "B15", "A27", "D27"):
        calc.type(place=f"Plan.{place}", text="")
    calc.type(place="Plan.A20", text="lard")
    calc.type(place="Plan.B20", text="90")
    calc.type(place="Plan.A28", text="NaOH")
    body = {**EXAMPLE, "fats": [EXAMPLE["fats"][0], EXAMPLE["fats"][2], {"fat": "lard", "mass": 90}],
            "alkalis": [{"alkali": "NaOH"}]}
    the_same(calc, host.post(body), [14, 16, 20], [28])


WRONG = {"a text with a comma": {"B14": "'1,500"}, "a mass without its fat": {"A14": ""}, "a fat without mass":
         {"B15": ""}, "no superfat": {"B7": ""}, "an unknown fat": {"A14": "olive pomice"}, "no alkali": {"A27": ""},
         "a fat that is a blank": {"A17": " "}, "a purity as a share of one": {"D27": "=0.98"}, "no unit": {"B6": ""}}


@pytest.mark.parametrize("wrong", WRONG.values(), ids=WRONG)
def test_a_wrong_input_leaves_no_figure_and_says_what_to_do(opened: Callable[..., None], calc: Calc, host: Host,
                                                            wrong: dict[str, str]) -> None:
    opened()
    for place, text in wrong.items():
        calc.type(place=f"Plan.{place}", text=text.replace("0.98", f"0{calc.sign}98"))
    figures = [*FIGURES, "Plan.E16", "Plan.B47", "cautions_count"]
    assert calc.read(places=figures) == [NONE] * len(figures)
    [said] = calc.read(places=["Plan.A30"])
    assert said.startswith("No figures: weigh nothing. Open the link below in a browser")
    assert calc.read(places=["Print.A2"]) == ["NO FIGURES. Do not weigh from this page."]
    assert "The cautions could not be loaded" in calc.read(places=["Plan.A50"])[0]


def test_a_cell_with_an_error_of_its_own_is_told_of(opened: Callable[..., None], calc: Calc) -> None:
    opened()
    calc.type(place="Plan.B14", text="=1/0")
    assert calc.read(places=["Plan.E16", "Plan.B35", "Plan.A31", "Plan.A32"]) == [NONE, NONE, "", ""]
    assert "holds an error of its own" in calc.read(places=["Plan.A30"])[0]


def test_the_link_of_a_wrong_recipe_shows_what_is_wrong(opened: Callable[..., None], calc: Calc) -> None:
    opened()
    calc.type(place="Plan.A14", text="olive pomice")
    words, address = calc.read(places=["Plan.A31", "Plan.A32"])
    assert words == "Open what the service says"
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(address, timeout=20)
    assert refused.value.code == 422
    assert "olive_pomace" in refused.value.read().decode()


def test_a_recipe_that_was_put_right_has_its_figures_again(opened: Callable[..., None], calc: Calc,
                                                          host: Host) -> None:
    opened()
    calc.type(place="Plan.A14", text="")
    assert calc.read(places=["Plan.E16"]) == [NONE]
    calc.type(place="Plan.A14", text="olive")
    the_same(calc, host.post(EXAMPLE), [14, 15, 16], [27])


def test_without_a_service_there_is_no_figure_until_it_runs_and_is_asked_again(opened: Callable[..., None], calc: Calc,
                                                                              host: Host) -> None:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    opened(service=f"http://127.0.0.1:{port}/")
    assert calc.read(places=["Plan.E14", "Plan.B35"]) == [NONE, NONE]
    assert "does not run at the address above" in calc.read(places=["Plan.A30"])[0]
    with running(make_server("127.0.0.1", port, host, threaded=True)):
        calc.type(place="Plan.B11", text="1")
        the_same(calc, host.post(EXAMPLE), [14, 15, 16], [27])
    calc.type(place="Plan.B11", text="2")
    assert calc.read(places=["Plan.E14", "Plan.B35"]) == [NONE, NONE]


def own_fats(name: str) -> dict[str, Any]:
    """A recipe of ten own fats, each of which brings a caution, as its density is not known."""
    return {**EXAMPLE, "fats": [{"name": f"{name} {number}", "saponification_value": {"min": 180, "max": 190},
                                 "mass": 100 + number} for number in range(10)]}


def test_more_cautions_than_rows_are_reported_and_the_most_severe_is_first(opened: Callable[..., None], calc: Calc,
                                                                         host: Host) -> None:
    body = {**own_fats("pressed at home"), "superfat_pct": 0, "alkalis": [{"alkali": "NaOH", "purity_pct": 60}]}
    cautions = host.post(body)["cautions"]
    assert len(cautions) > 6
    assert [caution["severity"] for caution in cautions[:3]] == ["info", "warning", "warning"]
    cautions[:2] = cautions[1::-1]  # the most severe comes first
    opened(body)
    assert calc.read(places=["cautions_count", *(f"Plan.A{row}" for row in range(50, 56))]) == [
        len(cautions), *(caution["message"] for caution in cautions[:5]),
        "There are more: open the address on the sheet Addresses."]


def test_an_address_that_is_too_long_is_told_of(opened: Callable[..., None], calc: Calc) -> None:
    opened(own_fats("pressed at home " + "ü" * 60))
    assert calc.read(places=["Plan.E14", "Plan.B35"]) == [NONE, NONE]
    [said, address] = calc.read(places=["Plan.A30", "Plan.A32"])
    assert said == f"This recipe makes an address of {len(address)} characters; 2,048 are the most."
    assert len(address) > 2_048


def test_a_dangerous_batch_is_called_one_on_both_pages(opened: Callable[..., None], calc: Calc, host: Host) -> None:
    body = {**EXAMPLE, "water": {"lye_concentration_pct": 45}, "temperatures": {"water": 60}}
    assert host.post(body)["worst_severity"] == "danger"
    opened(body)
    said = calc.read(places=["Plan.A30", "Print.A2"])
    assert [text.split(":")[0] for text in said] == ["DANGER", "DANGER"]


def test_a_superfat_typed_as_a_percentage_is_remarked(opened: Callable[..., None], calc: Calc) -> None:
    opened()
    assert calc.read(places=["Plan.C7"]) == [""]
    calc.type(place="Plan.B7", text="5%")
    assert calc.read(places=["Plan.C7"]) == ["Less than 1 %: for 5 % type 5, not 5%."]


def test_a_figure_costs_three_requests_and_an_address_is_asked_once(opened: Callable[..., None], calc: Calc,
                                                                    host: Host) -> None:
    opened(fresh(601))
    everything(calc)
    asked = Counter((method, address) for method, address in host.asked if address.startswith("/v1/lye"))
    addresses = {address for _, address in asked}
    assert asked == Counter((method, address) for method in ("OPTIONS", "HEAD", "GET") for address in addresses)
    figures = {unquote(address.partition("&field=")[2]) for address in addresses if "&field=" in address}
    assert figures == {*FIGURES.values(), "worst_severity", "alkalis.0.weigh", "fats.0.weigh", "fats.1.weigh",
                       "fats.2.weigh", "cautions.0.message", "cautions.1.message", "cautions.2.message"}
    assert max(Counter(host.asked).values()) == 1  # the texts of the cautions too, though not OPTIONS each time
    host.asked.clear()
    calc.type(place="Plan.B4", text="another name")  # no part of any address
    everything(calc)
    assert host.asked == []


def test_a_wrong_recipe_is_asked_once(opened: Callable[..., None], calc: Calc, host: Host) -> None:
    opened(fresh(602))
    everything(calc)
    host.asked.clear()
    calc.type(place="Plan.A14", text="olive pomice")
    everything(calc)
    assert len({address for _, address in host.asked}) == 1


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_page_to_print_has_what_to_weigh_and_the_cautions(opened: Callable[..., None], calc: Calc, host: Host,
                                                              tmp_path: Path, language: str) -> None:
    body = {**EXAMPLE, "locale": language}
    opened(body)
    reply = host.post(body)
    with urllib.request.urlopen(f"{host.address}/v1/cautions?locale={language}", timeout=20) as told:
        texts = {caution["key"]: caution["message"] for caution in json.load(told)["cautions"]}
    page = calc.read(places=[f"Print.{column}{row}" for row in range(1, 50) for column in "AB"])
    assert page[0] == "evening batch"
    assert page[8] == "water"
    assert page[9] == reply["water"]["weigh"]
    assert page[10:12] == ["NaOH", reply["alkalis"][0]["weigh"]]
    for fat in reply["fats"]:
        assert fat["weigh"] in page
    words = "\n".join(str(text) for text in page)
    for text in [caution["message"] for caution in reply["cautions"]] + [texts[key]
                                                                        for key in reply["standing_cautions"]]:
        assert text in words
    calc.pdf(path=str(tmp_path / "book.pdf"))
    assert len(re.findall(rb"/Type\s*/Page\b", (tmp_path / "book.pdf").read_bytes())) == 3  # a page a sheet


def test_formulas_keep_within_what_other_programs_take(tmp_path: Path) -> None:
    """A formula holds 8,192 characters, a text in it 255 ("Excel specifications and limits"; from memory)."""
    book = load_workbook(written(tmp_path, EXAMPLE, "http://127.0.0.1:8000", tmp_path / "book.xlsx"))
    formulas = [cell.value for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type == "f"]
    assert len(formulas) > 50
    for formula in formulas:
        assert len(formula) <= 8_192
        assert all(len(text) <= 255 for text in re.findall(r'"((?:[^"]|"")*)"', formula))
        assert not re.search(r"(?<!_xlfn\.)\b(WEBSERVICE|ENCODEURL|NUMBERVALUE)\(", formula)


def test_a_name_is_never_a_formula(tmp_path: Path) -> None:
    body = {**EXAMPLE, "fats": [{"name": "=1+1", "saponification_value": {"min": 180, "max": 190}, "mass": 500}]}
    out = written(tmp_path, body, "http://127.0.0.1:8000", tmp_path / "book.xlsx")
    assert load_workbook(out)["Plan"]["A14"].data_type == "s"
    assert "<f>1+1</f>" not in zipfile.ZipFile(out).read("xl/worksheets/sheet1.xml").decode()


@pytest.mark.parametrize(("more", "words"), [
    ({"acids": []}, "the sheet has no cell for acids"),
    ({"fats": [{"fat": "olive", "share_pct": 100}]}, "the sheet has no cell for share_pct"),
    ({"fats": [{"fat": "olive", "mass": 1}] * 11}, "the sheet has 10 rows, the recipe 11"),
    ({"water": 3}, "water: an object is needed")], ids=["acids", "shares", "eleven fats", "no object"])
def test_what_has_no_cell_is_refused_and_nothing_is_written(tmp_path: Path, more: dict[str, Any], words: str) -> None:
    with pytest.raises(subprocess.CalledProcessError) as refused:
        written(tmp_path, {**EXAMPLE, **more}, "http://127.0.0.1:8000", tmp_path / "book.xlsx")
    assert words in refused.value.stderr.decode()
    assert not (tmp_path / "book.xlsx").exists()


def test_the_addresses_of_the_papers_are_answered(host: Host) -> None:
    papers = BUILDER.with_name("README.md").read_text(encoding="utf-8")
    addresses = re.findall(r"https://maths\.example(/[^\"\s]+)", papers)
    assert addresses
    for address in addresses:
        with urllib.request.urlopen(host.address + address, timeout=20) as reply:
            assert reply.read().decode().splitlines()[0].startswith("kind,where,portion,key,name,form,lot,weigh [g]")
