"""The element in a real browser, its page on one origin and the service on another. make test-embed.

Axe (axe-core, by its own default rules) makes the WCAG checks a machine can make; the policy is the one the
element's first lines promise to run under (Content Security Policy Level 3).
"""

from __future__ import annotations

import json
import os
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from importlib import resources
from typing import Any

import pytest
from api.row_bodies import EVERYTHING
from playwright.sync_api import Browser, BrowserContext, Locator, Page, Request, Route, expect, sync_playwright

from .hosts import page_server, running, service_for

CHROMIUM = os.environ.get("CHROMIUM", "chromium")
OPTIONS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
           "--disable-component-update", "--disable-sync", "--disable-dev-shm-usage"]
AXE = resources.files("axe_core_python").joinpath("axe.min.js").read_text(encoding="utf-8")
HOSTILE = "<img src=x onerror=document.title='taken'>"
WATCH = """window.violations = [];
document.addEventListener("securitypolicyviolation", (event) => violations.push(event.violatedDirective));"""
STATIONS = """() => [...document.querySelector("kettlewright-batch").shadowRoot.querySelectorAll(".station")].map(
    (one) => [one.querySelector("h3").textContent, [...one.querySelectorAll(".weigh-list label")].map(
        (row) => [row.children[1].textContent, row.children[2].textContent])])"""
FOCUSED = """() => { let at = document.activeElement;
while (at?.shadowRoot?.activeElement) at = at.shadowRoot.activeElement;
return at?.getAttribute("aria-label") ?? at?.labels?.[0]?.textContent ?? at?.textContent ?? ""; }"""


@dataclass(frozen=True, slots=True)
class Place:
    """Where the page and the service are."""

    pages: str
    service: str


@pytest.fixture(scope="module")
def place() -> Iterator[Place]:
    known: list[str] = []  # each has to know the other's port
    with running(page_server(lambda: known[0])) as pages, running(service_for(pages)) as service:
        known.append(service)
        yield Place(pages, service)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    found = shutil.which(CHROMIUM)
    assert found, f"{CHROMIUM} is not here; make test-embed installs it"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=OPTIONS)
        yield browser
        browser.close()


@dataclass
class Bench:
    """A page with the element, and the hands of a maker on it."""

    page: Page
    requests: list[Request] = field(default_factory=list)

    def box(self, label: str) -> Locator:
        """A field by its label."""
        return self.page.get_by_label(label).locator("visible=true")

    def press(self, name: str) -> None:
        self.page.get_by_role("button", name=name, exact=True).click()

    def heading(self, name: str) -> None:
        expect(self.page.get_by_role("heading", name=name, exact=True)).to_be_focused()

    def fats(self, *rows: tuple[str, str], label: str = "Share, %") -> None:
        """Fill the rows of the pot, adding what is missing."""
        expect(self.box("Fat: 1").get_by_role("option")).not_to_have_count(1)  # the table has come
        for number, (fat, amount) in enumerate(rows, 1):
            if not self.box(f"Fat: {number}").count():
                self.press("Add a fat")
                expect(self.box(f"Fat: {number}")).to_be_focused()
            self.box(f"Fat: {number}").select_option(fat)
            self.box(f"{label}: {number}").fill(amount)

    def pot(self, *, superfat: str = "5") -> None:
        self.fats(("olive", "70"), ("coconut", "30"))
        self.box("Superfat, %").fill(superfat)
        self.press("Next")

    def jug(self, *, water: str = "8") -> None:
        self.heading("Jug")
        self.box("Purity, %").fill("98")
        self.box("How much").fill("2.1")
        self.box("Water temperature").fill(water)
        self.press("Next")

    def buckets(self, *names: str) -> None:
        self.heading("Buckets")
        for number, name in enumerate(names, 1):
            self.press("Add a bucket")
            self.box(f"Name: {number}").fill(name)
            self.box(f"Share, %: {number}").fill(str(100 // len(names)))
        self.press("Next")

    def mould(self, *, depth: str = "70", bar: str = "") -> None:
        self.heading("Mould")
        for label, text in (("Length", "250"), ("Width", "80"), ("Depth", depth), ("Bar thickness", bar)):
            self.box(label).fill(text)
        self.press("What to weigh")

    def to_the_mould(self, *names: str, water: str = "8") -> None:
        """The whole way but for the last press."""
        self.pot()
        self.jug(water=water)
        self.buckets(*names)
        self.heading("Mould")

    def planned(self, *names: str, water: str = "8", bar: str = "") -> None:
        """The whole way."""
        self.to_the_mould(*names, water=water)
        self.mould(bar=bar)
        self.heading("What to weigh")

    def stations(self) -> dict[str, list[tuple[str, str]]]:
        """The weigh list as shown: for each vessel its rows, what and how much."""
        found: list[tuple[str, list[list[str]]]] = self.page.evaluate(STATIONS)
        assert len({name for name, _ in found}) == len(found)
        return {name: [(what, much) for what, much in rows] for name, rows in found}

    def cautions(self) -> list[str]:
        """All cautions in the answer, folded or not, in the order of the page."""
        return self.page.locator("li[part~=caution]").all_text_contents()

    def sent(self) -> dict[str, Any]:
        """The last batch requested from the service."""
        posts = [one for one in self.requests if one.method == "POST" and one.url.endswith("/v1/batches")]
        body: dict[str, Any] = posts[-1].post_data_json
        return body

    def findings(self) -> list[str]:
        """What axe says of the page."""
        self.page.evaluate(AXE)
        found: list[str] = self.page.evaluate(
            "async () => (await axe.run()).violations.map((one) => `${one.id}: ${one.nodes.map((n) => n.html)}`)")
        return found

    def sideways(self) -> int:
        """How far the page scrolls sideways. [px]"""
        far: int = self.page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        return far


@pytest.fixture
def bench(browser: Browser, place: Place) -> Iterator[Bench]:
    context = browser.new_context(viewport={"width": 320, "height": 800})
    context.add_init_script(WATCH)
    context.set_default_timeout(10_000)
    bench = Bench(context.new_page())
    problems: list[str] = []
    bench.page.on("pageerror", lambda error: problems.append(str(error)))
    bench.page.on("request", lambda request: bench.requests.append(request))
    bench.page.goto(f"{place.pages}/plain.html")
    yield bench
    assert problems == []
    assert bench.page.evaluate("violations") == []
    context.close()


def fails(bench: Bench, path: str, **reply: Any) -> None:
    """From now on the service answers this path so."""
    headers = {"Access-Control-Allow-Origin": "*", "Access-Control-Expose-Headers": "Retry-After",
               **reply.pop("headers", {})}

    def answer(route: Route) -> None:
        route.fulfill(headers=headers, **reply)

    bench.page.route(path, answer)


# the way

def test_the_whole_way_goes_by_keyboard_alone(bench: Bench) -> None:
    keys = bench.page.keyboard

    def to(label: str) -> None:
        for _ in range(30):
            keys.press("Tab")
            if str(bench.page.evaluate(FOCUSED)).startswith(label):
                return
        raise AssertionError(f"Tab does not come to {label}; it is at {bench.page.evaluate(FOCUSED)}")

    def write(**texts: str) -> None:
        for label, text in texts.items():
            to(label)
            keys.type(text)

    expect(bench.box("Fat: 1").get_by_role("option")).not_to_have_count(1)
    write(Fat="olive", Share="70")
    to("Add a fat")
    keys.press("Enter")
    expect(bench.box("Fat: 2")).to_be_focused()
    keys.type("coconut")
    write(Share="30", Superfat="5")
    keys.press("Enter")
    bench.heading("Jug")
    to("Alkali")
    to("Purity on the label")
    keys.press("ArrowDown")
    expect(bench.box("Purity on the label")).to_have_value("purity_pct")
    expect(bench.box("Purity on the label")).to_be_focused()
    write(Purity="98")
    to("Water given as")
    keys.press("ArrowDown")
    write(**{"How much": "33", "Water temperature": "8"})
    keys.press("Enter")
    bench.heading("Buckets")
    to("Add a bucket")
    keys.press("Enter")
    expect(bench.box("Name: 1")).to_be_focused()
    keys.type("dark")
    write(Share="100")
    to("Next")
    keys.press("Enter")
    bench.heading("Mould")
    write(Length="250", Width="80", Depth="70")
    keys.press("Enter")
    bench.heading("What to weigh")
    body = bench.sent()
    assert body["recipe"] == {
        "fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}], "superfat_pct": 5,
        "alkalis": [{"alkali": "NaOH", "purity_pct": 98}], "water": {"lye_concentration_pct": 33},
        "temperatures": {"water": 8}}
    assert body["mould"] == {"shape": "box", "length": 250, "width": 80, "depth": 70}
    assert "cut" not in body
    to("Back")
    keys.press("Enter")
    bench.heading("Mould")


def test_the_weigh_list_comes_first_and_is_that_of_the_service(bench: Bench, place: Place) -> None:
    bench.planned("dark", "light")
    answer = bench.page.request.post(f"{place.service}/v1/batches", data=bench.sent()).json()
    given = [(", ".join(filter(None, (one["name"], one.get("form")))),
              f"{one['weigh']:.{1 if one['step'] == 0.1 else 0}f} {one['unit']}") for one in answer["weigh_list"]]
    stations = bench.stations()
    assert [row for rows in stations.values() for row in rows] == given
    assert [name for name, _ in given] == [
        "water", "sodium hydroxide, at least 98 % pure", "olive oil (virgin, refined)", "coconut oil",
        "batter for dark", "batter for light"]
    assert [name.split(",")[0] for name in stations] == [
        "Jug", "Pot", "Bucket: dark", "Bucket: light", "Mould", "After the pour"]
    top = bench.page.locator("b").first.evaluate("(figure) => figure.getBoundingClientRect().top + scrollY")
    assert top < 480  # on the first screen of a small phone, 320 by 568 px


def test_every_kind_of_row_has_its_place_and_says_what_its_bottle_holds(bench: Bench, place: Place) -> None:
    answer = bench.page.request.post(f"{place.service}/v1/batches", data=EVERYTHING).text()
    bench.to_the_mould()
    fails(bench, "**/v1/batches", status=200, body=answer, content_type="application/json")
    bench.mould()
    bench.heading("What to weigh")
    shown = {name.split(",")[0]: [what for what, _ in rows] for name, rows in bench.stations().items() if rows}
    assert sum(len(rows) for rows in shown.values()) == len(json.loads(answer)["weigh_list"])
    assert {name: len(rows) for name, rows in shown.items()} == {
        "Jug": 9, "Pot": 7, "Jar: red": 2, "Jar: blue": 2, "Jar: gloss": 2, "Jar: fog": 2, "Jar: plum": 2, "Spray": 1,
        "Set aside": 1, "Bucket: red": 3, "Sieve: red": 1, "Bucket: blue": 3, "Spray: blue": 1, "Bucket: jug": 2,
        "Spray: jug": 1}
    assert "sodium hydroxide stock, 50 % solution" in shown["Jug"]
    assert "acetic acid (vinegar), 5 % vinegar" in shown["Jug"]
    assert shown["Jar: blue"] == ["blue, dry", "sunflower, own press"]
    assert shown["Bucket: blue"] == ["batter for blue", "batter from red", "gloss, 10 % in glycerol"]
    assert shown["Spray: jug"] == ["fog, 5 % in water"]


def test_what_a_maker_needs_besides_the_rows_is_shown_at_its_vessel(bench: Bench, place: Place) -> None:
    bench.planned("dark", "light", water="20", bar="25")
    body = bench.sent()
    assert body["cut"] == {"bar": {"thickness": 25}}
    answer = bench.page.request.post(f"{place.service}/v1/batches", data=body).json()
    words = bench.page.locator("kettlewright-batch section").inner_text()
    heat, likely = answer["lye"]["solution"]["peak_temperature"], answer["lye"]["superfat"]["likely_pct"]
    for text in (f"Jug, at least {answer['vessels']['jug']:.0f} mL", f"Pot, at least {answer['vessels']['pot']:.0f} mL",
                 f"Lye strength {answer['lye']['solution']['concentration_pct']:.1f} %",
                 f"{heat['min']:.0f} to {heat['max']:.0f} °C", f"likely {likely['min']:.1f} to {likely['max']:.1f} %",
                 "Bars: 10",  # 250 mm in pieces of 25 mm
                 f"Plan {answer['identity']}"):
        assert text in words, text


def test_the_sheet_is_one_press_away_and_is_that_of_this_plan(bench: Bench, place: Place) -> None:
    bench.planned()
    link = bench.page.get_by_role("link", name="Batch sheet").get_attribute("href") or ""
    sheet = bench.page.request.get(link, headers={"Accept": "text/html"})
    assert link.startswith(f"{place.service}/v1/batches?plan=")
    assert sheet.status == 200
    identity = bench.page.get_by_text("Plan ").last.inner_text().removeprefix("Plan ")
    assert re.fullmatch(r"[0-9A-Z]{5}-[0-9A-Z]{5}", identity)
    assert identity in sheet.text()


@pytest.mark.parametrize("link", ["javascript:document.title='taken'", "//elsewhere.example/", "https://elsewhere.example/",
                                  "", None, 7])
def test_a_link_that_does_not_lead_into_the_service_is_left_out(bench: Bench, place: Place, link: Any) -> None:
    bench.to_the_mould()
    bench.page.route("**/v1/batches", lambda route: route.fulfill(json={
        **(answer := route.fetch()).json(), "links": {"self": link}}, headers=answer.headers))
    bench.mould()
    bench.heading("What to weigh")
    expect(bench.page.get_by_role("link")).to_have_count(0)


def test_the_picture_is_large_enough_on_a_phone_and_has_words(bench: Bench) -> None:
    bench.planned("dark", "light")
    picture = bench.page.get_by_role("img", name="The soap, cut across")
    expect(picture).to_be_visible()
    assert (picture.get_attribute("src") or "").startswith("blob:")
    wide, tall, shown = picture.evaluate(
        "(image) => image.decode().then(() => [image.naturalWidth, image.naturalHeight, image.clientWidth])")
    assert wide / tall == pytest.approx(80 / 70, rel=0.02)  # the face alone: the bar is 80 by 70 mm
    assert shown > 200
    # two halves of a box of 70 mm; fats are weighed down to the gram, which leaves less than 0.2 mm free
    layers = bench.page.locator("li", has=bench.page.locator("i")).all_inner_texts()
    assert len(layers) == 2
    assert re.fullmatch(r"light, (35|34\.9) to (70|69\.[89]) mm", layers[0])
    assert re.fullmatch(r"dark, 0 to (35|34\.9) mm", layers[1])


def test_new_buckets_have_colours_of_their_own(bench: Bench) -> None:
    bench.planned("one", "two", "three", "four")
    colours = [one["colour"] for one in bench.sent()["portions"]]
    assert len(set(colours)) == 4
    shown = bench.page.locator("li i").evaluate_all("(all) => all.map((one) => getComputedStyle(one).backgroundColor)")
    assert shown == [f"rgb({int(one[1:3], 16)}, {int(one[3:5], 16)}, {int(one[5:], 16)})" for one in reversed(colours)]


def test_fats_in_masses_and_other_units_go_as_they_were_given(bench: Bench) -> None:
    bench.page.evaluate("""() => { const element = document.querySelector("kettlewright-batch");
        element.dataset.units = '{"mass": "oz", "length": "in", "temperature": "degF"}';
        element.setAttribute("by", "mass"); }""")
    bench.fats(("olive", "20"), label="Mass, oz")
    expect(bench.page.get_by_text("Total 20 oz")).to_be_visible()
    bench.box("Superfat, %").fill("5")
    bench.press("Next")
    bench.box("Purity, %").fill("98")
    bench.box("How much").fill("2.1")
    bench.box("Water temperature, °F").fill("50")
    bench.press("Next")
    bench.press("Next")
    bench.box("Shape").select_option("cylinder")
    expect(bench.box("Shape")).to_be_focused()
    bench.box("Diameter, in").fill("4")
    bench.box("Depth, in").fill("6")
    bench.box("Moulds").fill("2")
    bench.press("What to weigh")
    bench.heading("What to weigh")
    body = bench.sent()
    assert body["recipe"]["fats"] == [{"fat": "olive", "mass": 20}]
    assert body["mould"] == {"shape": "cylinder", "diameter": 4, "depth": 6, "count": 2}
    assert body["units"] == {"mass": "oz", "length": "in", "volume": "mL", "temperature": "degF"}
    assert bench.stations()[next(name for name in bench.stations() if name.startswith("Pot"))] == [
        ("olive oil (virgin, refined)", "20.00 oz")]


def test_a_mould_measured_with_water_is_not_cut(bench: Bench) -> None:
    bench.to_the_mould()
    bench.box("Bar thickness").fill("25")
    bench.box("Shape").select_option("measured")
    expect(bench.box("Bar thickness")).to_have_count(0)
    bench.box("Volume").fill("1200")
    bench.press("What to weigh")
    bench.heading("What to weigh")
    assert "cut" not in bench.sent()


def test_rows_are_taken_out_and_the_sum_follows(bench: Bench) -> None:
    bench.fats(("olive", "70"), ("coconut", "20"), ("shea", "5.5"))
    expect(bench.page.get_by_text("Total 95.5 %")).to_be_visible()
    bench.press("Remove: 2")
    expect(bench.box("Fat: 2")).to_have_value("shea")
    expect(bench.page.get_by_role("button", name="Add a fat")).to_be_focused()
    expect(bench.page.get_by_text("Total 75.5 %")).to_be_visible()
    bench.press("Remove: 1")
    bench.press("Remove: 1")
    expect(bench.box("Fat: 1")).to_have_value("")  # never no row at all


def test_every_step_can_be_reached_from_every_step(bench: Bench) -> None:
    for name in ("Jug", "Mould", "Buckets", "Pot"):
        bench.press(name)
        bench.heading(name)
        expect(bench.page.locator("[aria-current=step]")).to_have_text(name)
    bench.pot()
    bench.press("Weigh")
    expect(bench.box("Purity, %")).to_be_focused()  # the first step that is not filled in
    bench.press("Jug")
    bench.box("Purity, %").fill("98")
    bench.box("How much").fill("2.1")
    bench.box("Water temperature").fill("8")
    bench.press("Next")
    bench.buckets()
    bench.mould()
    bench.heading("What to weigh")
    bench.press("Pot")
    bench.heading("Pot")
    expect(bench.box("Share, %: 2")).to_have_value("30")
    bench.press("Weigh")
    bench.heading("What to weigh")


def test_the_table_of_fats_is_fetched_once(bench: Bench) -> None:
    bench.planned("dark")
    bench.press("Pot")
    bench.press("Add a fat")
    bench.press("Remove: 3")
    bench.press("Weigh")
    bench.heading("What to weigh")
    assert [one.url for one in bench.requests if "/v1/fats" in one.url] == [
        one.url for one in bench.requests if one.url.endswith("/v1/fats")][:1]


def test_another_service_is_requested_its_own_fats(bench: Bench, place: Place) -> None:
    bench.fats(("olive", "70"))
    elsewhere = {"fats": [{"key": "tallow", "name": "a fat elsewhere"}]}
    fails(bench, f"{place.service}/other/v1/fats", status=200, json=elsewhere)
    bench.page.evaluate("(at) => document.querySelector('kettlewright-batch').setAttribute('service', at)",
                        f"{place.service}/other/")
    expect(bench.box("Fat: 1").get_by_role("option", name="a fat elsewhere")).to_have_count(1)
    expect(bench.box("Fat: 1")).to_have_value("")


def test_rows_can_be_ticked_anywhere_on_the_row(bench: Bench) -> None:
    bench.planned()
    bench.page.get_by_text(re.compile(r"^\d+ g$")).first.click()
    expect(bench.page.get_by_role("checkbox").first).to_be_checked()
    size = bench.page.locator("label", has=bench.page.get_by_role("checkbox")).first.bounding_box()
    assert size is not None
    assert size["height"] >= 44  # a fingertip in a glove: common practice, no source; WCAG 2.2 asks 24 px, AAA 44


# what is wrong

@pytest.mark.parametrize(("second", "said"), [
    ("29.98", "The shares add up to 99.98 %; they must add up to 100 %."), ("45", "The shares add up to 115 %; "
    "they must add up to 100 %."), ("29.991", None), ("30.009", None)])
def test_shares_that_miss_100_are_refused_at_their_step(bench: Bench, second: str, said: str | None) -> None:
    bench.fats(("olive", "70"), ("coconut", second))
    bench.box("Superfat, %").fill("5")
    bench.press("Next")
    if said is None:
        bench.heading("Jug")
        return
    expect(bench.page.get_by_role("alert")).to_have_text(said)
    expect(bench.page.get_by_role("alert")).to_be_focused()
    expect(bench.page.get_by_role("heading", name="Pot")).to_be_visible()
    bench.box("Share, %: 2").fill("30")
    expect(bench.page.get_by_role("alert")).to_be_hidden()
    bench.press("Next")
    bench.heading("Jug")
    assert not [one for one in bench.requests if one.method == "POST"]


def test_shares_of_buckets_that_miss_100_are_refused_at_their_step(bench: Bench) -> None:
    bench.pot()
    bench.jug()
    bench.buckets("one", "two", "three")  # 33 % each
    expect(bench.page.get_by_role("alert")).to_have_text("The shares add up to 99 %; they must add up to 100 %.")
    for number, share in enumerate(("33.33", "33.33", "33.33"), 1):
        bench.box(f"Share, %: {number}").fill(share)
    bench.press("Next")
    bench.heading("Mould")
    bench.mould()
    bench.heading("What to weigh")  # the service takes it too


def test_an_error_of_the_service_is_shown_beside_its_field(bench: Bench) -> None:
    bench.pot(superfat="80")
    bench.jug()
    bench.buckets()
    bench.mould()
    expect(bench.box("Superfat, %")).to_be_focused()  # the first error, though it is three steps back
    expect(bench.box("Superfat, %")).to_have_accessible_description(
        "A superfat of 80 % is not possible here; it must be from 0 to 50 %.")
    expect(bench.box("Superfat, %")).to_have_attribute("aria-invalid", "true")
    bench.box("Superfat, %").fill("5")
    expect(bench.box("Superfat, %")).not_to_have_attribute("aria-invalid", "true")
    bench.press("Next")
    bench.heading("Jug")
    bench.press("Back")
    bench.heading("Pot")
    expect(bench.box("Superfat, %")).not_to_have_attribute("aria-invalid", "true")


def test_an_error_of_a_whole_part_is_shown_at_its_first_field(bench: Bench) -> None:
    bench.to_the_mould()
    fails(bench, "**/v1/batches*", status=422, content_type="application/problem+json",
          body='{"detail": "x", "errors": [{"pointer": "/mould", "detail": "It does not hold the batch."}]}')
    bench.mould()
    expect(bench.box("Shape")).to_be_focused()
    expect(bench.box("Shape")).to_have_accessible_description("It does not hold the batch.")


def test_all_errors_are_shown_at_once_each_in_its_own_step(bench: Bench) -> None:
    bench.pot(superfat="80")
    bench.jug()
    bench.buckets()
    bench.mould(depth="0")
    expect(bench.box("Superfat, %")).to_be_focused()
    bench.press("Mould")
    expect(bench.box("Depth")).to_have_accessible_description(
        "A length of 0 mm is not possible here; it must be above 0 (from 0.001 mm) and at most 10 m.")


def test_an_error_of_a_row_is_shown_at_the_row(bench: Bench) -> None:
    bench.fats(("olive", "130"), ("coconut", "-30"))
    bench.box("Superfat, %").fill("5")
    bench.press("Next")
    bench.jug()
    bench.buckets()
    bench.mould()
    expect(bench.box("Share, %: 1")).to_be_focused()
    for number in (1, 2):
        expect(bench.box(f"Share, %: {number}")).to_have_accessible_description(re.compile("not possible"))
    expect(bench.box("Fat: 1")).not_to_have_attribute("aria-invalid", "true")
    fails(bench, "**/v1/batches*", status=422, content_type="application/problem+json", json={
        "errors": [{"pointer": "/recipe/fats", "detail": "No."}, {"pointer": "/recipe/fats/1", "detail": "Nor this."}]})
    bench.press("Weigh")
    expect(bench.page.get_by_role("alert")).to_have_text("No.")
    expect(bench.box("Fat: 2")).to_have_accessible_description("Nor this.")


@pytest.mark.parametrize("text", ["70,5", "1,000", "seventy", "٧٠", "1e3", "0x10", "Infinity"])
def test_a_text_that_is_no_number_is_refused_before_anything_is_sent(bench: Bench, text: str) -> None:
    bench.fats(("olive", text))
    bench.press("Next")
    expect(bench.box("Share, %: 1")).to_be_focused()
    expect(bench.box("Share, %: 1")).to_have_accessible_description("Type a number like 12.5 or 1250.")
    assert not [one for one in bench.requests if one.method == "POST"]


def test_no_step_is_left_with_something_missing(bench: Bench) -> None:
    bench.press("Next")
    for label in ("Fat: 1", "Share, %: 1", "Superfat, %"):
        expect(bench.box(label)).to_have_accessible_description("Fill in this field.")
    bench.pot()
    bench.press("Next")
    for label in ("Purity, %", "How much", "Water temperature"):
        expect(bench.box(label)).to_have_attribute("aria-invalid", "true")


# cautions

def test_cautions_are_shown_beside_the_step_they_belong_to(bench: Bench, place: Place) -> None:
    bench.planned(water="20")
    answer = bench.page.request.post(f"{place.service}/v1/batches", data=bench.sent()).json()
    catalogue = bench.page.request.get(f"{place.service}/v1/cautions").json()["cautions"]
    standing = [one for one in catalogue if one["key"] in answer["standing_cautions"]]
    assert len(standing) >= 12
    assert any(one["key"] == "lye-hot" for one in answer["cautions"])
    homes = {"lye": "Jug", "pot": "Pot", "pouring": "Mould", "unmoulding": "After the pour", "label": "After the pour"}
    for one in [*standing, *answer["cautions"]]:
        station = bench.page.locator(".station", has=bench.page.get_by_role("heading", name=homes[one["place"]]))
        expect(station.get_by_text(one["message"])).to_be_visible()
    assert len(bench.cautions()) == len(standing) + len(answer["cautions"])
    jug = [text.split(":")[0] for text in bench.page.locator(".station").first.locator(
        "li[part~=caution]").all_inner_texts()]
    assert jug == sorted(jug, key=["Danger", "Warning", "Note"].index)


def test_a_danger_of_this_batch_comes_before_the_weighing(bench: Bench) -> None:
    bench.planned(water="30")
    assert bench.cautions()[0].startswith("Danger: The lye may reach")
    danger = bench.page.get_by_text("The lye may reach").bounding_box()
    figure = bench.page.locator("b").first.bounding_box()
    assert danger is not None
    assert figure is not None
    assert danger["y"] + danger["height"] < figure["y"]


def test_cautions_fold_once_read_and_open_when_there_are_others(bench: Bench) -> None:
    bench.planned(water="20")
    station = bench.page.locator(".station").first
    texts = station.locator("li[part~=caution]")
    expect(texts.first).to_be_visible()
    station.get_by_role("button", name="I have read this").click()
    expect(texts.first).to_be_hidden()
    expect(station.locator("summary")).to_be_focused()
    expect(station.locator("summary")).to_have_text(re.compile(r"^Danger: 3 · Warning: \d · Note: 1$"))
    bench.press("Back")
    bench.press("What to weigh")
    bench.heading("What to weigh")
    expect(texts.first).to_be_hidden()
    bench.press("Jug")
    bench.box("Water temperature").fill("21")  # another heat, another sentence
    bench.press("Weigh")
    bench.heading("What to weigh")
    expect(texts.first).to_be_visible()


def test_paper_shows_what_was_folded_and_no_buttons(bench: Bench) -> None:
    bench.planned(water="20")
    read = bench.page.get_by_role("button", name="I have read this")
    while read.count():
        read.first.click()
    seen = "(all) => all.map((one) => one.checkVisibility())"
    texts = bench.page.locator("li[part~=caution]")
    assert not any(texts.evaluate_all(seen))
    bench.page.emulate_media(media="print", color_scheme="dark")
    assert all(texts.evaluate_all(seen))
    assert len(texts.evaluate_all(seen)) >= 12
    expect(bench.page.get_by_role("button")).to_have_count(0)
    ink = bench.page.locator("b").first
    expect(ink).to_have_css("color", "rgb(0, 0, 0)")  # dark on white, whatever the screen was
    expect(bench.page.get_by_text("Plan ").last).to_be_visible()


def test_print_prints(bench: Bench) -> None:
    bench.page.evaluate("window.print = () => { document.title = 'printed'; }")
    bench.planned()
    bench.press("Print")
    assert bench.page.title() == "printed"


def test_without_the_cautions_nothing_to_weigh_is_shown(bench: Bench) -> None:
    bench.to_the_mould()
    fails(bench, "**/v1/cautions?*", status=500, body="<h1>no</h1>", content_type="text/html")
    bench.mould()
    expect(bench.page.get_by_role("alert")).to_have_text("The service failed (500). Your entries are kept; try again.")
    expect(bench.page.locator("[part~=weigh-list]")).to_have_count(0)


# a service in trouble

@pytest.mark.parametrize(("reply", "said"), [
    ({"status": 429, "headers": {"Retry-After": "7"}}, "The service is busy. Try again in 7 seconds."),
    ({"status": 429}, "The service is busy. Try again in 10 seconds."),
    ({"status": 503, "headers": {"Retry-After": "soon<b>"}}, "The service is busy. Try again in 10 seconds."),
    ({"status": 502, "body": "<html><h1>Bad Gateway</h1></html>", "content_type": "text/html"},
     "The service failed (502). Your entries are kept; try again."),
    ({"status": 200, "body": "<html>Log in to the network</html>", "content_type": "text/html"},
     "The service failed (200). Your entries are kept; try again."),
    ({"status": 200, "body": "null", "content_type": "application/json"},
     "The service failed (200). Your entries are kept; try again."),
    ({"status": 200, "body": '{"weigh_list": [{}], "cautions": [], "standing_cautions": []}',
      "content_type": "application/json"}, "The service failed (?). Your entries are kept; try again."),
    ({"status": 413, "body": '{"detail": "The body is larger than 9 bytes; send a smaller one."}',
      "content_type": "application/problem+json"}, "The body is larger than 9 bytes; send a smaller one."),
    ({"status": 422, "body": '{"detail": "x", "errors": [{"pointer": "/residue/pot", "detail": "Too much residue."}]}',
      "content_type": "application/problem+json"}, "Too much residue."),
], ids=["429", "429 without a time", "503", "502 in HTML", "a page in place of it", "null", "not a batch", "413",
        "422 elsewhere"])
def test_a_service_in_trouble_gets_a_plain_sentence(bench: Bench, reply: dict[str, Any], said: str) -> None:
    bench.to_the_mould()
    fails(bench, "**/v1/batches*", **reply)
    bench.mould()
    expect(bench.page.get_by_role("alert")).to_have_text(said)
    expect(bench.page.get_by_role("alert")).to_be_focused()
    bench.page.unroute("**/v1/batches*")
    expect(bench.box("Depth")).to_have_value("70")
    bench.press("What to weigh")
    bench.heading("What to weigh")


def test_a_service_that_is_down_gets_a_plain_sentence_and_another_try(bench: Bench) -> None:
    bench.page.route("**/v1/**", lambda route: route.abort("connectionrefused"))
    bench.page.reload()
    expect(bench.page.get_by_role("alert")).to_have_text(
        "The service does not respond. Your entries are kept; try again.")
    bench.box("Share, %: 1").fill("70")
    bench.press("Next")
    expect(bench.page.get_by_role("alert")).to_be_visible()
    expect(bench.box("Share, %: 1")).to_have_value("70")
    bench.page.unroute("**/v1/**")
    bench.press("Next")
    expect(bench.page.get_by_role("alert")).to_have_count(0)
    expect(bench.box("Share, %: 1")).to_have_value("70")
    bench.pot()
    bench.heading("Jug")


def test_fats_that_come_late_take_nothing_from_who_types(bench: Bench) -> None:
    held: list[Route] = []
    bench.page.route("**/v1/fats", lambda route: held.append(route))  # the service takes its time
    bench.page.reload()
    bench.box("Share, %: 1").press_sequentially("7")
    assert held
    held[0].continue_()
    expect(bench.box("Fat: 1").get_by_role("option")).not_to_have_count(1)
    bench.page.keyboard.type("0")
    expect(bench.box("Share, %: 1")).to_have_value("70")


@pytest.mark.parametrize("reply", [{"status": 502, "body": "<h1>no", "content_type": "text/html"},
                                   {"status": 200, "body": "<html>Log in", "content_type": "text/html"}])
def test_a_batch_without_a_picture_is_still_a_batch(bench: Bench, reply: dict[str, Any]) -> None:
    bench.to_the_mould()
    fails(bench, "**/v1/batches?format=svg", **reply)
    bench.mould()
    bench.heading("What to weigh")
    expect(bench.page.get_by_role("img", name="The soap, cut across")).to_be_visible()  # the browser shows the words
    assert "water" in [what for what, _ in next(iter(bench.stations().values()))]


def test_pressing_twice_plans_once(bench: Bench) -> None:
    bench.to_the_mould()
    for label, text in (("Length", "250"), ("Width", "80"), ("Depth", "70")):
        bench.box(label).fill(text)
    bench.page.get_by_role("button", name="What to weigh").dblclick()
    bench.heading("What to weigh")
    assert len([one for one in bench.requests if one.method == "POST" and one.url.endswith("/v1/batches")]) == 1


def test_a_picture_is_let_go_of_with_its_step(bench: Bench) -> None:
    bench.planned()
    old = (bench.page.get_by_role("img").get_attribute("src") or "").split("#")[0]
    bench.press("Back")
    assert bench.page.evaluate("""(src) => new Promise((done) => { const image = new Image();
        image.onload = () => done("kept"); image.onerror = () => done("gone"); image.src = src; })""", old) == "gone"


# languages

def test_every_word_is_there_in_german_with_the_same_places_for_values(bench: Bench, place: Place) -> None:
    bench.page.goto(f"{place.pages}/source.html")
    english, german = bench.page.evaluate("""async () => [(await import("/element/words.js")).en,
        (await import("/kettlewright.de.js")).words]""")
    assert list(english) == list(german)
    assert len(english) > 60
    for key, text in english.items():
        assert sorted(re.findall(r"{\w+}", text)) == sorted(re.findall(r"{\w+}", german[key])), key


@pytest.mark.parametrize(("text", "comma", "point"), [
    ("12.5", 12.5, 12.5), ("12,5", 12.5, None), ("12", 12, 12), ("-3", -3, -3), (" 7 ", 7, 7), ("0.125", 0.125, 0.125),
    ("0,125", 0.125, None), ("1.250", None, 1.25), ("1,250", 1.25, None), ("1250.500", 1250.5, 1250.5),
    ("1.250,5", None, None), ("1,250.5", None, None), ("1 250", None, None), ("12,", None, None), (",5", None, None),
    ("1e3", None, None), ("0x10", None, None), ("١٢", None, None), ("", None, None), ("12,5,5", None, None)])
def test_a_number_is_read_as_the_language_writes_it_or_not_at_all(
        bench: Bench, text: str, comma: float | None, point: float | None) -> None:
    assert bench.page.evaluate("""async (text) => { const { readNumber } = await import("/element/numbers.js");
        return [readNumber(text, true) ?? null, readNumber(text, false) ?? null]; }""", text) == [comma, point]


def test_a_german_page_takes_a_comma_shows_its_reading_and_writes_german(bench: Bench, place: Place) -> None:
    bench.page.goto(f"{place.pages}/deutsch.html")
    box, press = bench.box, bench.press
    expect(bench.page.locator("kettlewright-batch section")).to_have_attribute("lang", "de")
    expect(box("Fett: 1").get_by_role("option", name="Olivenöl", exact=True)).to_have_count(1)
    box("Fett: 1").select_option("Olivenöl")
    box("Anteil, %: 1").fill("1.000")
    press("Weiter")
    expect(box("Anteil, %: 1")).to_have_accessible_description("Eine Zahl wie 12,5 oder 1250 eingeben.")
    box("Anteil, %: 1").fill("70,50")
    expect(box("Anteil, %: 1")).to_have_accessible_description("Gelesen als 70,5")
    press("Fett hinzufügen")
    box("Fett: 2").select_option("Kokosöl")
    box("Anteil, %: 2").fill("29.5")  # many keypads have a point only
    expect(box("Anteil, %: 2")).to_have_accessible_description("Gelesen als 29,5")
    box("Überfettung, %").fill("5")
    press("Weiter")
    box("Reinheit, %").fill("98")
    box("Wie viel").fill("2,1")
    box("Wassertemperatur").fill("20")
    press("Weiter")
    press("Weiter")
    for label, text in (("Länge", "250"), ("Breite", "80"), ("Tiefe", "70")):
        box(label).fill(text)
    press("Abwiegeliste")
    bench.heading("Abwiegeliste")
    body = bench.sent()
    assert body["locale"] == "de"
    assert [one["share_pct"] for one in body["recipe"]["fats"]] == [70.5, 29.5]
    answer = bench.page.request.post(f"{place.service}/v1/batches", data=body).json()
    alkali = next(one for one in answer["weigh_list"] if one["kind"] == "alkali")
    rows = [row for rows in bench.stations().values() for row in rows]
    assert ("Natriumhydroxid, Reinheit mindestens 98 %", f"{alkali['weigh']:.1f} g".replace(".", ",")) in rows
    texts = {wanted: [one["message"] for one in bench.page.request.get(
        f"{place.service}/v1/cautions?locale={wanted}").json()["cautions"] if "batches" in one["standing_for"]]
        for wanted in ("en", "de")}
    shown = " ".join(bench.cautions())
    for english, german in zip(texts["en"], texts["de"], strict=True):
        assert german in shown
        assert english not in shown
    assert bench.findings() == []


def test_the_locale_of_the_element_comes_before_the_lang_of_the_page(bench: Bench, place: Place) -> None:
    for page in ("plain.html", "source.html"):
        bench.page.goto(f"{place.pages}/{page}")
        bench.page.evaluate("document.querySelector('kettlewright-batch').setAttribute('locale', 'de')")
        expect(bench.page.get_by_role("heading", name="Topf")).to_be_visible()
    bench.page.goto(f"{place.pages}/deutsch.html")
    bench.page.evaluate("document.querySelector('kettlewright-batch').setAttribute('locale', 'en-GB')")
    expect(bench.page.get_by_role("heading", name="Pot")).to_be_visible()


def test_a_language_without_words_of_ours_keeps_its_numbers(bench: Bench, place: Place) -> None:
    bench.page.goto(f"{place.pages}/francais.html")
    bench.fats(("olive", "70,5"))
    expect(bench.box("Share, %: 1")).to_have_accessible_description("Read as 70,5")
    bench.page.goto(f"{place.pages}/odd.html")  # lang="en_US" is no language tag
    expect(bench.page.get_by_role("heading", name="Pot")).to_be_visible()


def test_german_words_that_do_not_come_leave_english_ones(bench: Bench, place: Place) -> None:
    bench.page.route("**/kettlewright.de.js", lambda route: route.fulfill(status=404))
    bench.page.goto(f"{place.pages}/deutsch.html")
    bench.fats(("olive", "70,5"))
    expect(bench.box("Share, %: 1")).to_have_accessible_description("Read as 70,5")


# the page around it

def test_hostile_names_stay_text(bench: Bench) -> None:
    bench.planned(HOSTILE)
    expect(bench.page.get_by_role("heading", name=f"Bucket: {HOSTILE}")).to_be_visible()
    expect(bench.page.locator("kettlewright-batch img")).to_have_count(1)  # the picture alone
    assert bench.page.title() == "A page"


def test_a_hostile_service_runs_and_loads_nothing(bench: Bench, place: Place) -> None:
    bench.to_the_mould("dark")
    svg = ('<svg xmlns="http://www.w3.org/2000/svg" onload="document.title=1">'
           '<script>top.document.title = "taken"</script><rect style="fill: red" width="9" height="9"/></svg>')
    texts = bench.page.request.get(f"{place.service}/v1/cautions").json()
    for one in texts["cautions"]:
        one["message"] = HOSTILE

    def hostile(route: Route) -> None:
        answer = route.fetch()
        batch = answer.json()
        batch["portions"][0] |= {"colour": "url(//elsewhere.example/x.png)", "name": HOSTILE}
        batch["identity"] = batch["weigh_list"][0]["name"] = HOSTILE
        route.fulfill(json=batch, headers=answer.headers)

    bench.page.route("**/v1/batches", hostile)
    fails(bench, "**/v1/batches?format=svg", status=200, body=svg, content_type="image/svg+xml")
    fails(bench, "**/v1/cautions?*", status=200, json=texts)
    bench.mould()
    bench.heading("What to weigh")
    assert HOSTILE in bench.cautions()[0]
    expect(bench.page.get_by_role("img")).to_be_visible()
    assert bench.page.title() == "A page"
    assert not [one.url for one in bench.requests if "elsewhere" in one.url]


def test_nothing_is_stored(bench: Bench) -> None:
    bench.planned()
    assert bench.page.evaluate("[localStorage.length, sessionStorage.length, document.cookie]") == [0, 0, ""]
    assert bench.page.evaluate("indexedDB.databases()") == []
    assert bench.page.context.cookies() == []


def test_the_strict_policy_is_really_on(bench: Bench) -> None:
    kinds = bench.page.evaluate("""async () => {
        const style = document.createElement("div"); style.setAttribute("style", "color: red");
        const script = document.createElement("script"); script.textContent = "document.title = 'inline'";
        document.body.append(style, script); await new Promise((done) => setTimeout(done, 200));
        return violations.splice(0).sort(); }""")
    assert kinds == ["script-src-elem", "style-src-attr"]
    assert bench.page.title() == "A page"


def test_words_of_the_host_come_before_ours_and_stay_text(bench: Bench) -> None:
    bench.page.evaluate("""(hostile) => { const element = document.querySelector("kettlewright-batch");
        element.dataset.strings = JSON.stringify(
            { next: "Onwards", pot: "The kettle", pot_says: hostile }); }""", HOSTILE)
    expect(bench.page.get_by_role("heading", name="The kettle")).to_be_visible()
    expect(bench.page.get_by_role("button", name="Onwards")).to_be_visible()
    expect(bench.page.get_by_text(HOSTILE)).to_be_visible()
    assert bench.page.title() == "A page"


def test_parts_of_the_request_may_be_given_before_the_module_has_come(bench: Bench) -> None:
    bench.page.add_init_script("""new MutationObserver(() => {
        const element = document.querySelector("kettlewright-batch");
        if (!element || element.matches(":defined")) return;
        element.extra = { residue: { pot: 12 }, recipe: { water: { ice_pct: 10 } } };
    }).observe(document, { childList: true, subtree: true });""")
    bench.page.reload()
    bench.planned()
    assert bench.sent()["residue"] == {"pot": 12}
    assert bench.sent()["recipe"]["water"] == {"ice_pct": 10, "water_to_alkali": 2.1}


def test_the_modules_work_as_they_are(bench: Bench, place: Place) -> None:
    bench.page.goto(f"{place.pages}/source.html")
    bench.planned("dark", "light")
    assert len(bench.stations()) == 6


def test_parts_colours_and_slots_are_open_to_the_host(bench: Bench) -> None:
    bench.page.evaluate("""() => { const look = new CSSStyleSheet();
        look.replaceSync("kettlewright-batch { --kw-accent: rgb(1, 2, 3); } ::part(heading) { font-size: 77px; }");
        document.adoptedStyleSheets.push(look);
        const note = document.createElement("p"); note.slot = "before"; note.textContent = "A word before.";
        document.querySelector("kettlewright-batch").append(note); }""")
    heading, button = bench.page.get_by_role("heading", name="Pot"), bench.page.get_by_role("button", name="Next")
    expect(heading).to_have_css("font-size", "77px")
    expect(button).to_have_css("background-color", "rgb(1, 2, 3)")
    expect(bench.page.get_by_text("A word before.")).to_be_visible()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 600, 1280])
def test_axe_finds_nothing_at_any_step_and_nothing_scrolls_sideways(bench: Bench, place: Place, width: int,
                                                                    scheme: str) -> None:
    bench.page.set_viewport_size({"width": width, "height": 800})
    bench.page.emulate_media(color_scheme=scheme)
    bench.page.goto(f"{place.pages}/example.html")

    def clean() -> None:
        assert bench.findings() == []
        assert bench.sideways() == 0

    expect(bench.page.get_by_text("First, the pot")).to_be_visible()
    clean()
    bench.press("Next")
    clean()  # with errors
    bench.pot()
    clean()
    bench.jug(water="30")
    bench.press("Add a bucket")
    bench.box("Name: 1").fill("endless" * 8)
    bench.box("Share, %: 1").fill("99")
    clean()
    bench.press("Next")
    clean()
    bench.box("Share, %: 1").fill("100")
    bench.press("Next")
    clean()
    bench.mould(depth="0")
    expect(bench.box("Depth")).to_be_focused()
    clean()
    bench.box("Depth").fill("70")
    bench.press("What to weigh")
    bench.heading("What to weigh")
    clean()
    bench.page.get_by_role("button", name="I have read this").first.click()
    clean()


def test_the_example_page_adds_to_the_request_and_hears_of_the_plan(bench: Bench, place: Place) -> None:
    bench.page.goto(f"{place.pages}/example.html")
    bench.planned()
    assert bench.sent()["residue"] == {"pot": 15, "portion": 4}
    expect(bench.page).to_have_title("Hollow Step Soap: 5 things to weigh")

# without JavaScript

@pytest.fixture
def still(browser: Browser) -> Iterator[BrowserContext]:
    context = browser.new_context(viewport={"width": 320, "height": 800}, java_script_enabled=False)
    yield context
    context.close()


WRITTEN = {"A fat": "olive,mass:650", "Another fat": "coconut,mass:300", "Superfat, %": "5",
           "Alkali, with the purity on its label": "NaOH,purity_at_least:98", "Water": "water_to_alkali:2.1",
           "Water temperature, °C: needed to estimate how hot the lye gets": "water:8"}


def fill_in(page: Page, **other: str) -> None:
    for label, text in {**WRITTEN, **other}.items():
        field = page.get_by_label(label, exact=True)
        expect(field).to_have_value("")  # no figure that nobody chose
        field.fill(text)


def test_without_javascript_a_plain_form_is_answered_with_cautions(still: BrowserContext, place: Place) -> None:
    page = still.new_page()
    page.goto(f"{place.pages}/example.html")
    expect(page.get_by_text("This workshop is invented")).to_be_visible()
    expect(page.get_by_text("Lye causes severe skin burns and eye damage")).to_be_visible()
    assert page.locator("form input:not([type=hidden])").count() == len(WRITTEN)
    fill_in(page)
    with page.expect_response(f"{place.service}/v1/lye?*") as found:
        page.get_by_role("button", name="Show what to weigh").click()
    assert found.value.status == 200
    expect(page.get_by_role("heading", name="What to weigh")).to_be_visible()
    for words in ("goggles", "olive oil", "650 g", "300 g", "sodium hydroxide"):
        expect(page.locator("main")).to_contain_text(re.compile(words, re.IGNORECASE))
    catalogue = json.loads(page.request.get(f"{place.service}/v1/cautions").text())["cautions"]
    cautions = {one["key"]: one["message"] for one in catalogue if "lye" in one["standing_for"]}
    assert cautions
    for text in cautions.values():
        expect(page.locator("main")).to_contain_text(text)
    words = page.locator("main").inner_text()
    assert words.index(cautions["alkali-into-water"]) < words.index("650")  # before the weighing, not after it


def test_without_javascript_a_fault_is_answered_in_words(still: BrowserContext, place: Place) -> None:
    page = still.new_page()
    page.goto(f"{place.pages}/example.html")
    fill_in(page, **{"A fat": "olive,700"})
    page.get_by_role("button", name="Show what to weigh").click()
    expect(page.locator("body")).to_contain_text("olive")
    expect(page.locator("body")).to_contain_text("Status 422")
    expect(page.locator("h1")).to_have_text("The input is wrong")
