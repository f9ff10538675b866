"""The workbook in a real spreadsheet program, in a locale with points and in one with commas. make test-embed.

What a cell shows is held to the answer of POST /v1/batches to the same recipe, over HTTP on the loopback.
"""

from __future__ import annotations

import csv
import io
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
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from kettlewright.app import create_app
from kettlewright.keys import READ_ONLY, new_key, write_key_file
from kettlewright.settings import Settings
from openpyxl import load_workbook
from openpyxl.cell.cell import MergedCell
from werkzeug.serving import make_server
from werkzeug.test import Client

from .hosts import running
from .office import Calc, running_calc

BUILDER = Path(__file__).parents[2] / "client" / "examples" / "workbook" / "build_workbook.py"
EXAMPLE = json.loads(BUILDER.with_name("hearth_bar.json").read_text(encoding="utf-8"))
METRIC = {"mass": "g", "dose": "g", "length": "mm", "volume": "mL", "temperature": "degC"}
IN_OUNCES = {
    "recipe": {
        "fats": [{"fat": "olive", "mass": 24.35},
                 {"name": "Kürbis: kalt, 1\\2 & mehr", "saponification_value": {"min": 185.5, "max": 198},
              "mass": 8.125}],
        "superfat_pct": 3.25,
        "alkalis": [{"alkali": "KOH", "share_pct": 62.5, "purity_at_least_pct": 88.5},
                    {"alkali": "NaOH", "share_pct": 37.5, "purity_pct": 99.25}],
        "water": {"water_to_alkali": 2.15}, "temperatures": {"water": 46.5}},
    "mould": {"shape": "box", "length": 12.5, "width": 3.5, "depth": 3},
    "portions": [{"name": "Rot \"hell\", außen", "share_pct": 25, "additions": [
        {"name": "Eisenoxid, rot", "kind": "colourant", "dose": 6, "basis": "g_per_kg_batter"},
        {"name": "Ton", "kind": "clay", "dose": 0.25, "basis": "mass"}]}, {"name": "innen", "share_pct": 75}],
    "additions": [{"name": "Zucker", "kind": "sugar", "dose": 1.5, "basis": "pct_of_fats"}],
    "arrangement": "mingled", "units": {**METRIC, "mass": "oz", "dose": "oz", "length": "in", "volume": "us_fl_oz",
                                        "temperature": "degF"}, "locale": "de"}
NONE = "no figure"
FIGURES = {  # the place of a figure: where the POST has it
    "Batch.E15": "pot_mass", "Batch.E16": "vessels.pot", "Batch.E22": "lye.solution.peak_temperature.max",
    "Batch.E23": "vessels.jug", "Batch.E37": "mould_mass", "Batch.E38": "mould.fill.depth", "Batch.B49": "mould.volume"}
OF_THE_CUT = {"Batch.E46": "cuts.loaves.count", "Batch.E47": "cuts.bars.count", "Batch.E48": "cuts.bars.mass.mid",
              "Batch.E49": "cuts.bars.mass.min", "Batch.E50": "cuts.bars.cured_mass.mid",
              "Batch.B50": "cuts.volume_yield_pct"}
FATS, POT_ADDITIONS, WATER, ALKALIS, BUCKETS = range(5, 13), range(13, 15), 18, range(19, 21), range(25, 37, 3)
STATUS, INPUT_COLOUR = "Batch.A2", "FFF3CC"
SHEETS = ("Batch", "Cautions", "Settings", "Lists", "Reply")


class Host:
    """The service, and the requests it got."""

    def __init__(self) -> None:
        self.requests: list[tuple[str, str]] = []
        self._app = create_app()
        self.address = self.refuse = ""

    def __call__(self, environ: dict[str, Any], start: Any) -> Any:
        self.requests.append((environ["REQUEST_METHOD"], f"{environ['PATH_INFO']}?{environ['QUERY_STRING']}"))
        if self.refuse and self.refuse in environ["QUERY_STRING"]:
            start("503 Service Unavailable", [])
            return [b""]
        if environ["PATH_INFO"].startswith("/long/"):
            environ["PATH_INFO"] = environ["PATH_INFO"].removeprefix("/long")
            if environ["QUERY_STRING"].endswith("table=cautions"):
                start("200 OK", [("Content-Type", "text/csv")])
                return [b"key,severity,place,message,pointer\r\n" + b"x,info,pot," + b"long words " * 700 + b",/\r\n"]
        if environ["PATH_INFO"].startswith("/newer/"):
            environ["PATH_INFO"] = environ["PATH_INFO"].removeprefix("/newer")
            if environ["REQUEST_METHOD"] == "GET" and "table=" in environ["QUERY_STRING"]:
                got = Client(self._app).get(f"{environ['PATH_INFO']}?{environ['QUERY_STRING']}")
                start("200 OK", [("Content-Type", "text/csv")])
                return [with_a_column_more(got.text).encode()]
        return self._app(environ, start)

    def post(self, body: dict[str, Any]) -> dict[str, Any]:
        body = {**body, "units": body.get("units", METRIC), "locale": body.get("locale", "en")}
        request = urllib.request.Request(f"{self.address}/v1/batches", json.dumps(body).encode(),
                                         {"Content-Type": "application/json"})
        with urllib.request.urlopen(request, timeout=20) as reply:
            return json.load(reply)


def with_a_column_more(text: str) -> str:
    """A table of a newer service, with a new second column, whose values have commas and quotation marks."""
    header, *lines = csv.reader(io.StringIO(text))
    if len(header) == 1 or header[0] == "field":  # keys; figures, which are found by their path
        return text
    made = io.StringIO()
    csv.writer(made).writerows([[header[0], "new", *header[1:]],
                                *([line[0], 'a "new", word', *line[1:]] for line in lines)])
    return made.getvalue()


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
        host.requests.clear()
        calc.open(path=str(books[-1]))
    yield build_and_open
    if books:
        calc.close()


def written(folder: Path, body: dict[str, Any], service: str, out: Path) -> Path:
    """The workbook, as the command writes it."""
    recipe = folder / "evening_batch.json"
    recipe.write_text(json.dumps(body), encoding="utf-8")
    subprocess.run([sys.executable, str(BUILDER), "--batch", str(recipe), "--service", service, "--out", str(out)],
                   check=True, capture_output=True)
    return out


def changed(body: dict[str, Any], **values: Any) -> dict[str, Any]:
    """A copy with other values, by path with __ between the steps."""
    copy = json.loads(json.dumps(body))
    for path, value in values.items():
        *way, last = path.split("__")
        at(copy, ".".join(way))[int(last) if last.isdigit() else last] = value
    return copy


def fresh(superfat: float) -> dict[str, Any]:
    """The example with a superfat that no other test requests: the program remembers some answers for some seconds."""
    return changed(EXAMPLE, recipe__superfat_pct=superfat)


def everything(calc: Calc) -> None:
    """Look at every cell: what nobody looks at is not worked out."""
    for sheet in SHEETS:
        assert calc.errors(sheet=sheet) == []


def at(document: Any, path: str) -> Any:
    for step in path.split(".") if path else ():
        document = document[int(step) if step.isdigit() else step]
    return document


def rows_used(entries: list[Any], rows: Any) -> list[int]:
    return list(rows)[:len(entries)]


def the_same(calc: Calc, body: dict[str, Any], reply: dict[str, Any], *, fats: list[int] | None = None,
             alkalis: list[int] | None = None) -> None:
    """Every figure of the pages is the reply's; `fats` and `alkalis` are their rows where they are not the first."""
    expected = {place: at(reply, path) for place, path in FIGURES.items()}
    if "cut" in body:
        expected |= {place: at(reply, path) for place, path in OF_THE_CUT.items()}
    lye = reply["lye"]
    expected[f"Batch.E{WATER}"] = lye["water"]["weigh"]
    for rows, weighed in ((fats or rows_used(lye["fats"], FATS), lye["fats"]),
                          (alkalis or rows_used(lye["alkalis"], ALKALIS), lye["alkalis"]),
                          (rows_used(reply["additions"], POT_ADDITIONS), reply["additions"])):
        expected |= {f"Batch.E{row}": one["weigh"] for row, one in zip(rows, weighed, strict=True)}
    for row, portion in zip(rows_used(body["portions"], BUCKETS), reply["portions"], strict=True):
        expected[f"Batch.E{row}"] = portion["weigh"]
        expected |= {f"Batch.E{row + number}": one["weigh"] for number, one in enumerate(portion["additions"], 1)}
    expected |= {"Batch.E1": f"Plan {reply['identity']}", "cautions_count": len(reply["cautions"]),
                 "always_count": len(reply["standing_cautions"]), "severity": reply["worst_severity"], "missing": 0}
    assert dict(zip(expected, calc.read(places=list(expected)), strict=True)) == expected
    unused = [f"Batch.{column}{row}" for rows, used in ((FATS, len(lye["fats"])), (BUCKETS, len(reply["portions"])))
              for row in list(rows)[used:] for column in "EFG" if not fats]
    assert set(calc.read(places=unused)) <= {""}


@pytest.mark.parametrize("body", [EXAMPLE, IN_OUNCES], ids=["example", "ounces, inches and Fahrenheit"])
def test_every_figure_is_that_of_the_post(opened: Callable[..., None], calc: Calc, host: Host,
                                          body: dict[str, Any]) -> None:
    opened(body)
    the_same(calc, body, host.post(body))
    everything(calc)


def test_a_newer_service_may_have_more_columns(opened: Callable[..., None], calc: Calc, host: Host) -> None:
    opened(service=f"{host.address}/newer")
    reply = host.post(EXAMPLE)
    the_same(calc, EXAMPLE, reply)
    [layer, page] = calc.read(places=["Batch.D25", "Cautions.A5"])
    assert layer.startswith("0")
    assert all(caution["message"] in page for caution in reply["cautions"])


def test_layers_and_days_are_those_of_the_post(opened: Callable[..., None], calc: Calc, host: Host) -> None:
    opened()
    reply = host.post(EXAMPLE)
    layers = [portion["layer"] for portion in reply["portions"]]
    assert calc.read(places=[f"Batch.D{row}" for row in list(BUCKETS)[:3]]) == [
        f"{layer['bottom']:.1f} to {layer['top']:.1f} mm".replace(".", calc.sign) for layer in layers]
    low, high = (reply["lye"]["superfat"]["likely_pct"][end] for end in ("min", "max"))
    assert calc.read(places=["Batch.E21"]) == [f"{low:.1f} to {high:.1f}".replace(".", calc.sign)]
    days = [date.fromisoformat(reply["dates"][key]) for key in ("pour", "unmould", "pack_from")]
    places = [f"Batch.B{row}" for row in (46, 47, 48)]
    assert calc.read(places=places) == [(day - date(1899, 12, 30)).days for day in days]  # how sheets count days
    assert calc.shown(places=places) == [
        f"{day:%d.%m.%Y}" if calc.sign == "," else f"{day.month}/{day.day}/{day.year}" for day in days]
    assert calc.read(places=["Batch.C46", "Batch.C47", "Batch.C48"]) == [f"{day:%A}" for day in days]


def test_a_figure_is_shown_with_the_sign_of_the_locale(opened: Callable[..., None], calc: Calc, host: Host) -> None:
    opened()
    weigh = host.post(EXAMPLE)["lye"]["alkalis"][0]["weigh"]
    assert weigh != int(weigh)
    assert calc.shown(places=["Batch.E19", "decimal_sign"]) == [str(weigh).replace(".", calc.sign), calc.sign]


def test_numbers_that_are_typed_reach_the_service_as_they_are(opened: Callable[..., None], calc: Calc,
                                                             host: Host) -> None:
    opened()
    typed = {"B21": 4.75, "B5": 52.25, "B6": 31.25, "B18": 30.25, "B19": 97.5, "B22": 7.5, "B40": 381.5, "E41": 24.75,
             "B26": 6.125, "B25": 30.5, "B31": 44.5}
    for place, number in typed.items():
        calc.type(place=f"Batch.{place}", text=str(number).replace(".", calc.sign))
    body = changed(
        EXAMPLE, recipe__superfat_pct=4.75, recipe__fats__0__share_pct=52.25, recipe__fats__1__share_pct=31.25,
        recipe__water__lye_concentration_pct=30.25, recipe__alkalis__0__purity_at_least_pct=97.5,
        recipe__temperatures__water=7.5, mould__length=381.5, cut__bar__thickness=24.75, portions__0__share_pct=30.5,
        portions__2__share_pct=44.5, portions__0__additions__0__dose=6.125)
    the_same(calc, body, host.post(body))


def test_rows_may_be_left_empty_between_others(opened: Callable[..., None], calc: Calc, host: Host) -> None:
    opened()
    for place in ("A6", "B6", "A19", "B19", "C19"):
        calc.type(place=f"Batch.{place}", text="")
    calc.type(place="Batch.A11", text="lard")
    calc.type(place="Batch.B11", text="25")
    calc.type(place="Batch.A20", text="sodium hydroxide (NaOH)")
    fats = EXAMPLE["recipe"]["fats"]
    body = changed(EXAMPLE, recipe__fats=[fats[0], fats[2], {"fat": "lard", "share_pct": 25}],
                   recipe__alkalis=[{"alkali": "NaOH"}])
    the_same(calc, body, host.post(body), fats=[5, 7, 11], alkalis=[20])


WRONG = {  # what is typed, and what the cell must say of it
    "a text with a comma": ({"B5": "'58,5"}, '58,5" is not a number'),
    "a share without its fat": ({"A5": ""}, "fat 1: "),
    "a fat without its share": ({"B6": ""}, 'fat 2 mass: Give a fat either "mass" or "share_pct"'),
    "shares that miss 100": ({"B6": "20"}, "The shares of the fats add up to 95; they must add up to 100: raise one "
                             "by 5."),
    "no superfat": ({"B21": ""}, "Give the superfat either as"),
    "no water": ({"B18": ""}, "water is required."), "a fat that is not known": (
        {"A5": "olive pomice"}, 'fat 1: No fat called "olive pomice". Did you mean '),
    "no alkali": ({"A19": "", "B19": "", "C19": ""}, "alkali is required."),
    "a fat that is a blank": ({"A8": " "}, 'fat 4: '),
    "a purity as a share of one": ({"B19": "=0.98"}, "alkali 1 purity_at_least: A purity of 0.98 % is not possible"),
    "a word for the alkali that is not in the list": ({"A19": "lye"}, "alkali 1: "),
    "a purity without its number": ({"B19": ""}, 'alkali 1: "purity_at_least" has no value'),
    "an addition without a dose": ({"B26": ""}, "addition 2 dose: "),
    "an addition without its basis": ({"C26": ""}, "addition 2 basis: "),
    "a bucket without a share": ({"B28": ""}, "portion"),
    "three wrong cells": ({"B42": "", "A5": "olive pomice", "B21": "77"}, "mould depth: "),
    "no depth": ({"B42": ""}, 'mould depth: '),
    "an addition without a kind": ({"D26": ""}, 'addition 2 kind: '),
    "an addition to a bucket without a name": ({"A25": ""}, "portion 1: "),
    "a bar that is longer than the block": ({"E41": "900"}, "bar thickness: A bar of 900 mm does not fit"),
    "a day that does not exist": ({"B46": "2027-02-30"}, '"2027-02-30" is not a day of the calendar'),
    "a cure without a pour": ({"B46": ""}, 'dates release: Give either "release" or "pour"')}


@pytest.mark.parametrize(("wrong", "words"), WRONG.values(), ids=WRONG)
def test_a_wrong_input_leaves_no_figure_and_the_cell_says_why(opened: Callable[..., None], calc: Calc, host: Host,
                                                              wrong: dict[str, str], words: str) -> None:
    opened()
    for place, text in wrong.items():
        calc.type(place=f"Batch.{place}", text=text.replace("0.98", f"0{calc.sign}98"))
    figures = [place for place in (*FIGURES, *OF_THE_CUT) if place.replace("Batch.", "") not in wrong]
    assert calc.read(places=[*figures, "Batch.E7", f"Batch.E{WATER}", "cautions_count"]) == [NONE] * (len(figures) + 3)
    said, address, on_settings = calc.read(places=[STATUS, "recipe_address", "Settings.A11"])
    assert said.startswith("NO FIGURES: weigh nothing. ")
    assert words in said
    assert said == on_settings
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(address, timeout=20)
    assert refused.value.code == 422
    for error in json.load(refused.value)["errors"]:
        assert " ".join(error["detail"].split())[:150] in said
    assert calc.read(places=["Batch.E1"]) == ["Plan –"]
    assert "The cautions could not be loaded" in calc.read(places=["Cautions.A5"])[0]


def test_a_cell_with_an_error_of_its_own_is_reported(opened: Callable[..., None], calc: Calc) -> None:
    opened()
    calc.type(place="Batch.B5", text="=1/0")
    assert calc.read(places=["Batch.E7", "Batch.E23", "Settings.A12"]) == [NONE, NONE, ""]
    assert "A cell holds an error" in calc.read(places=[STATUS])[0]


def test_a_batch_that_was_put_right_has_its_figures_again(opened: Callable[..., None], calc: Calc, host: Host) -> None:
    opened()
    calc.type(place="Batch.A5", text="")
    assert calc.read(places=["Batch.E7"]) == [NONE]
    calc.type(place="Batch.A5", text="olive oil")
    the_same(calc, EXAMPLE, host.post(EXAMPLE))


def test_without_a_service_there_is_no_figure_until_it_runs_again(opened: Callable[..., None], calc: Calc,
                                                                              host: Host) -> None:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    opened(service=f"http://127.0.0.1:{port}/")
    assert calc.read(places=["Batch.E5", "Batch.E23"]) == [NONE, NONE]
    assert "The service does not answer. Start it" in calc.read(places=[STATUS])[0]
    with running(make_server("127.0.0.1", port, host, threaded=True)):
        calc.type(place="Settings.B9", text="1")
        the_same(calc, EXAMPLE, host.post(EXAMPLE))
    calc.type(place="Settings.B9", text="2")
    assert calc.read(places=["Batch.E5", "Batch.E23"]) == [NONE, NONE]


def test_a_read_only_key_is_sent_with_every_address_and_shown_in_none(opened: Callable[..., None], calc: Calc,
                                                                          host: Host, tmp_path: Path) -> None:
    text, key = new_key("cells", READ_ONLY, made=date(2027, 1, 1))
    write_key_file(tmp_path / "keys.csv", [key])
    app, asked = create_app(Settings(key_file=str(tmp_path / "keys.csv"))), []

    def keyed(environ: dict[str, Any], start: Any) -> Any:
        asked.append((environ["REQUEST_METHOD"], environ["QUERY_STRING"]))
        return app(environ, start)

    with running(make_server("127.0.0.1", 0, keyed, threaded=True)) as address:
        opened(service=address)
        assert calc.read(places=["Batch.E5", "Batch.E23"]) == [NONE, NONE]
        assert "check address and key on the sheet Settings" in calc.read(places=[STATUS])[0]
        del asked[:]
        calc.type(place="Settings.B10", text=text)
        the_same(calc, EXAMPLE, host.post(EXAMPLE))
        assert len({query for _, query in asked}) == 7
        assert all(query.count(f"key={text}") == 1 for _, query in asked)
        assert text not in calc.read(places=["recipe_address"])[0]


def test_a_service_that_stops_between_two_addresses_leaves_no_page_without_a_remark(
        opened: Callable[..., None], calc: Calc, host: Host) -> None:
    body = fresh(5.125)
    host.refuse = "table=cautions"
    try:
        opened(body)
        assert calc.read(places=["Batch.E5", "cautions_count"]) == [host.post(body)["lye"]["fats"][0]["weigh"], NONE]
        assert calc.read(places=[STATUS])[0].startswith("SOME FIGURES ARE MISSING: weigh nothing.")
        assert "The cautions could not be loaded" in calc.read(places=["Cautions.A5"])[0]
    finally:
        host.refuse = ""
    calc.type(place="Settings.B9", text="1")
    the_same(calc, body, host.post(body))


def own_fats(name: str) -> dict[str, Any]:
    """A batch of eight own fats, each of which brings a caution, as its density is not known."""
    return changed(EXAMPLE, recipe__fats=[
        {"name": f"{name} {number}", "saponification_value": {"min": 180, "max": 190}, "share_pct": 12.5}
        for number in range(8)])


def test_cautions_are_sorted_by_severity_and_more_than_fit_are_reported(opened: Callable[..., None], calc: Calc,
                                                                       host: Host) -> None:
    body = own_fats("pressed at home")
    cautions = host.post(body)["cautions"]
    severities = [caution["severity"] for caution in cautions]
    assert severities != sorted(severities, reverse=True)  # warning, info: to sort them changes the order
    opened(body)
    head, text = calc.read(places=["Cautions.A3", "Cautions.A5"])
    places = [text.index(caution["message"]) for caution in cautions]
    found = [severity for _, severity in sorted(zip(places, severities, strict=True))]
    assert found == sorted(severities, reverse=True)
    assert head == f"Of this batch: {len(cautions)}"
    calc.type(place="Settings.B3", text=f"{host.address}/long")  # whose cautions are forty times as long
    assert "Not all fit here" in calc.read(places=["Cautions.A3"])[0]


def test_an_address_that_is_too_long_is_reported(opened: Callable[..., None], calc: Calc) -> None:
    opened(own_fats("pressed at home " + "ü" * 60))
    assert calc.read(places=["Batch.E5", "Batch.E23"]) == [NONE, NONE]
    [said, address] = calc.read(places=[STATUS, "recipe_address"])
    assert f"This batch makes an address of {len(address)} characters; 2,048 are the most." in said
    assert len(address) > 2_048


def test_a_dangerous_batch_is_called_one(opened: Callable[..., None], calc: Calc, host: Host) -> None:
    body = changed(EXAMPLE, recipe__water__lye_concentration_pct=45, recipe__temperatures__water=60)
    assert host.post(body)["worst_severity"] == "danger"
    opened(body)
    said, text, fine = calc.read(places=[STATUS, "Cautions.A5", "fine"])
    assert (said.split(":")[0], text.split(":")[0], fine) == ("DANGER", "• DANGER", 0)


def test_a_superfat_typed_as_a_percentage_is_remarked(opened: Callable[..., None], calc: Calc) -> None:
    opened()
    assert calc.read(places=["Batch.C21"]) == ["%"]
    calc.type(place="Batch.B21", text="5%")
    assert calc.read(places=["Batch.C21"]) == ["% ? For 5 % type 5."]


def test_an_address_costs_three_requests_once(opened: Callable[..., None], calc: Calc, host: Host) -> None:
    opened(fresh(5.25))
    everything(calc)
    batch = [(method, address) for method, address in host.requests if address.startswith("/v1/batches")]
    addresses = {address for _, address in batch}
    assert Counter(batch) == Counter((method, address) for method in ("OPTIONS", "HEAD", "GET")
                                     for address in addresses)
    assert {address.rpartition("&")[2] for address in addresses} == {
        "field=problem", "table=figures", "table=weigh_list", "table=portions", "table=cautions",
        "table=standing_cautions"}
    assert len({address for _, address in host.requests}) == 7
    assert len(host.requests) <= 21
    host.requests.clear()
    calc.type(place="Batch.A1", text="another name")  # no part of any address
    everything(calc)
    assert host.requests == []
    calc.type(place="Batch.B21", text="7")
    everything(calc)
    assert len(host.requests) == 18


def test_a_wrong_batch_is_requested_once(opened: Callable[..., None], calc: Calc, host: Host) -> None:
    opened(fresh(5.375))
    everything(calc)
    host.requests.clear()
    calc.type(place="Batch.A5", text="olive pomice")
    everything(calc)
    assert len({address for _, address in host.requests}) == 1


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_pages_have_the_cautions_and_no_keys(opened: Callable[..., None], calc: Calc, host: Host,
                                                 tmp_path: Path, language: str) -> None:
    body = {**EXAMPLE, "locale": language}
    opened(body)
    reply = host.post(body)
    with urllib.request.urlopen(f"{host.address}/v1/cautions?locale={language}", timeout=20) as catalogue:
        texts = {caution["key"]: caution["message"] for caution in json.load(catalogue)["cautions"]}
    [page] = calc.read(places=["Cautions.A5"])
    for text in [caution["message"] for caution in reply["cautions"]] + [texts[key]
                                                                        for key in reply["standing_cautions"]]:
        assert text in page
    places = [f"Batch.{column}{row}" for row in range(1, 53) for column in "ABCDEFG"]
    shown = dict(zip(places, calc.shown(places=places), strict=True))
    assert [text for text in shown.values() if re.search(r"[a-z]_[a-z]", text)] == []
    assert shown["Batch.A1"] == "evening batch"
    assert shown["Batch.A4"] == {"en": "POT: melt the fats", "de": "TOPF: Fette schmelzen"}[language]
    for column in "ABCDEFG":  # no empty column, and a unit beside each figure
        assert sum(bool(shown[f"Batch.{column}{row}"]) for row in range(4, 51)) >= 5
    numbers = {place for place, value in zip(places, calc.read(places=places), strict=True)
               if isinstance(value, float) and value}
    counts = {"Batch.E46", "Batch.E47", "Batch.B45"}
    for place in numbers - counts:
        beside = place.replace(".B", ".C").replace(".E", ".F")
        assert beside != place
        assert shown[beside], place
    calc.pdf(path=str(tmp_path / "book.pdf"))
    assert len(re.findall(rb"/Type\s*/Page\b", (tmp_path / "book.pdf").read_bytes())) == 3  # a page a sheet


def test_only_what_you_fill_in_can_be_changed_and_it_has_one_colour(tmp_path: Path) -> None:
    book = load_workbook(written(tmp_path, EXAMPLE, "http://127.0.0.1:8000", tmp_path / "book.xlsx"))
    assert [sheet.title for sheet in book if sheet.sheet_state == "visible"] == ["Batch", "Cautions", "Settings"]
    unlocked = 0
    for sheet in book:
        assert sheet.protection.sheet
        cells = [cell for row in sheet.iter_rows() for cell in row if not isinstance(cell, MergedCell)]
        for cell in cells:  # of merged cells the first has protection and colour of all
            unlocked += not cell.protection.locked
            assert (cell.fill.fgColor.rgb[-6:] == INPUT_COLOUR) is not cell.protection.locked
            assert cell.protection.locked or cell.data_type != "f"
    assert unlocked > 80
    colours = {cell.fill.fgColor.rgb[-6:] for sheet in book for row in sheet.iter_rows() for cell in row
               if cell.fill.fill_type == "solid"}
    assert colours == {INPUT_COLOUR, "E4E4E4"}  # the second is grey: heads of the steps


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
    body = changed(EXAMPLE, recipe__fats=[
        {"name": "=1+1", "saponification_value": {"min": 180, "max": 190}, "share_pct": 100}])
    out = written(tmp_path, body, "http://127.0.0.1:8000", tmp_path / "book.xlsx")
    assert load_workbook(out)["Batch"]["A5"].data_type == "s"
    assert "<f>1+1</f>" not in zipfile.ZipFile(out).read("xl/worksheets/sheet1.xml").decode()


@pytest.mark.parametrize(("body", "words"), [
    ({**EXAMPLE, "label": {}}, "the sheet has no cell for label"),
    (changed(EXAMPLE, recipe__acids=[]), "the sheet has no cell for acids"),
    (changed(EXAMPLE, recipe__fats__0__lot="A"), "the sheet has no cell for lot"),
    (changed(EXAMPLE, recipe__fats=[{"fat": "olive", "share_pct": 1}] * 9), "the sheet has 8 rows, the batch 9"),
    (changed(EXAMPLE, mould__shape="bowl"), "the sheet has no cells for bowl"),
    (changed(EXAMPLE, cut__trim__end=5), "one cell for both ends"),
    (changed(EXAMPLE, recipe__water=3), "water: an object is needed")],
    ids=["label", "acids", "lot", "nine fats", "bowl", "trim", "no object"])
def test_what_has_no_cell_is_refused_and_nothing_is_written(tmp_path: Path, body: dict[str, Any], words: str) -> None:
    with pytest.raises(subprocess.CalledProcessError) as refused:
        written(tmp_path, body, "http://127.0.0.1:8000", tmp_path / "book.xlsx")
    assert words in refused.value.stderr.decode()
    assert not (tmp_path / "book.xlsx").exists()


def test_the_addresses_of_the_papers_are_answered(host: Host) -> None:
    papers = BUILDER.with_name("README.md").read_text(encoding="utf-8")
    addresses = re.findall(r"https://maths\.example(/[^\"\s]+)", papers)
    assert addresses
    for address in addresses:
        with urllib.request.urlopen(host.address + address, timeout=20) as reply:
            assert reply.read().decode().splitlines()[0].startswith("kind,where,portion,key,name,form,lot,weigh [g]")
