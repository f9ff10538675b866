"""The element in a real browser, its page on one origin and the service on another. make test-embed.

Axe (axe-core, by its own default rules) stands for the WCAG checks a machine can make; the policy is the one the
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
        """A field by its label, wherever it is shown."""
        role = "combobox" if label in ("Fat", "Alkali", "Shape", "Water given as", "Purity on the label") else "textbox"
        return self.page.get_by_role(role, name=label)  # type: ignore[arg-type]  # both are roles

    def press(self, name: str) -> None:
        self.page.get_by_role("button", name=name, exact=True).click()

    def heading(self, name: str) -> None:
        expect(self.page.get_by_role("heading", name=name, exact=True)).to_be_focused()

    def add(self, listed: str, **texts: str) -> None:
        """Fill the fields of a list and put them into it."""
        for label, text in texts.items():
            (self.page.get_by_label("Colour") if label == "Colour" else self.box(label)).fill(text)
        self.press("Add")
        expect(self.page.get_by_text(listed)).to_be_visible()

    def pot(self, *, superfat: str = "5", pot: str = "The pot") -> None:
        expect(self.page.get_by_role("heading", name=pot, exact=True)).to_be_visible()
        self.add("olive oil (virgin, refined): 70 %", Fat="olive", Share="70")
        self.add("coconut oil: 30 %", Fat="coconut", Share="30")
        self.box("Superfat, %").fill(superfat)
        self.press("Next")

    def jug(self, *, water: str = "8") -> None:
        self.heading("The jug")
        self.box("Purity, %").fill("98")
        self.box("How much").fill("2.1")
        self.box("Water temperature").fill(water)
        self.press("Next")

    def buckets(self, *names: str) -> None:
        self.heading("The buckets")
        for name in names:
            self.add(f"{name}: {100 // len(names)} %", Name=name, Share=str(100 // len(names)), Colour="#7d2f22")
        self.press("Next")

    def mould(self, *, depth: str = "70") -> None:
        self.heading("The mould")
        for label, text in (("Length", "250"), ("Width", "80"), ("Depth", depth)):
            self.box(label).fill(text)
        self.press("Show what to weigh")

    def to_the_mould(self) -> None:
        """The whole way but for the last press."""
        self.pot()
        self.jug()
        self.buckets()
        self.heading("The mould")

    def sent(self) -> dict[str, Any]:
        """The last batch the service was asked for."""
        asked = [one for one in self.requests if one.method == "POST" and one.url.endswith("/v1/batches")]
        body: dict[str, Any] = asked[-1].post_data_json
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


def row(bench: Bench, name: str) -> Locator:
    return bench.page.get_by_role("row").filter(has=bench.page.get_by_role("rowheader", name=name, exact=True))


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

    for fat, share in (("olive", "70"), ("coconut", "30")):
        write(Fat=fat, Share=share)
        keys.press("Enter")
        expect(bench.page.get_by_text(f": {share} %")).to_be_visible()
        expect(bench.box("Fat")).to_be_focused()
        keys.press("Shift+Tab")
    write(Superfat="5")
    keys.press("Enter")
    bench.heading("The jug")
    to("Alkali")
    to("Purity on the label")
    keys.press("ArrowDown")
    expect(bench.box("Purity on the label")).to_have_value("purity_pct")
    write(Purity="98")
    to("Water given as")
    keys.press("ArrowDown")
    write(**{"How much": "33", "Water temperature": "8"})
    keys.press("Enter")
    bench.heading("The buckets")
    write(Name="dark", Share="100")
    keys.press("Enter")
    expect(bench.page.get_by_text("dark: 100 %")).to_be_visible()
    to("Next")
    keys.press("Enter")
    bench.heading("The mould")
    write(Length="250", Width="80", Depth="70")
    to("Show what to weigh")
    keys.press("Enter")
    bench.heading("What to weigh")
    body = bench.sent()
    assert body["recipe"] == {
        "fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}], "superfat_pct": 5,
        "alkalis": [{"alkali": "NaOH", "purity_pct": 98}], "water": {"lye_concentration_pct": 33},
        "temperatures": {"water": 8}}
    assert body["mould"] == {"shape": "box", "length": 250, "width": 80, "depth": 70}
    to("Change something")
    keys.press("Enter")
    bench.heading("The pot")
    expect(bench.page.get_by_text("coconut oil: 30 %")).to_be_visible()


def test_the_weigh_list_is_that_of_the_service_in_the_order_of_the_hands(bench: Bench, place: Place) -> None:
    bench.pot()
    bench.jug()
    bench.buckets("dark", "light")
    bench.mould()
    bench.heading("What to weigh")
    asked = bench.page.request.post(f"{place.service}/v1/batches", data=bench.sent())
    told = [(", ".join(filter(None, (one["name"], one.get("form")))),
             f"{one['weigh']:.{1 if one['step'] == 0.1 else 0}f} {one['unit']}")
            for one in asked.json()["weigh_list"]]
    rows = bench.page.get_by_role("row").filter(has=bench.page.get_by_role("rowheader")).all()
    assert [tuple(one.locator("th, td").all_inner_texts()) for one in rows] == told
    assert [name for name, _ in told] == [
        "water", "sodium hydroxide, at least 98 % pure", "olive oil (virgin, refined)", "coconut oil",
        "batter for dark", "batter for light"]
    assert bench.page.get_by_role("heading", level=3).all_inner_texts() == [
        "Cautions", "In the jug", "In the pot", "Bucket: dark", "Bucket: light", "From the pour onwards"]


def test_every_kind_of_row_has_its_place_and_says_what_its_bottle_holds(bench: Bench, place: Place) -> None:
    answer = bench.page.request.post(f"{place.service}/v1/batches", data=EVERYTHING).text()
    bench.to_the_mould()
    fails(bench, "**/v1/batches", status=200, body=answer, content_type="application/json")
    bench.mould()
    bench.heading("What to weigh")
    tables = {heading: bench.page.get_by_role("table", name=heading, exact=True).get_by_role("rowheader")
              .all_inner_texts() for heading in bench.page.get_by_role("heading", level=3).all_inner_texts()}
    shown = {heading: rows for heading, rows in tables.items() if rows}
    assert sum(len(rows) for rows in shown.values()) == len(json.loads(answer)["weigh_list"])
    assert {heading: len(rows) for heading, rows in shown.items()} == {
        "In the jug": 9, "In the pot": 7, "In a jar: red": 2, "In a jar: blue": 2, "In a jar: gloss": 2,
        "In a jar: fog": 2, "In a jar: plum": 2, "Spray on top of everything": 1, "Set aside": 1, "Bucket: red": 3,
        "Sieve: red": 1, "Bucket: blue": 3, "Spray: blue": 1, "Bucket: jug": 2, "Spray: jug": 1}
    assert "sodium hydroxide stock, 50 % solution" in shown["In the jug"]
    assert "acetic acid (vinegar), 5 % vinegar" in shown["In the jug"]
    assert shown["In a jar: blue"] == ["blue, dry", "sunflower, own press"]
    assert shown["Bucket: blue"] == ["batter for blue", "batter from red", "gloss, 10 % in glycerol"]
    assert shown["Spray: jug"] == ["fog, 5 % in water"]


def test_the_picture_is_an_image_with_words(bench: Bench) -> None:
    bench.pot()
    bench.jug()
    bench.buckets("dark", "light")
    bench.mould()
    picture = bench.page.get_by_role("img", name="The soap, cut across")
    expect(picture).to_be_visible()
    assert picture.get_attribute("src", timeout=1000).startswith("blob:")  # type: ignore[union-attr]  # it has one
    assert picture.evaluate("(image) => image.decode().then(() => image.naturalWidth)") > 0
    # two halves of a box of 70 mm; fats are weighed down to the gram, which leaves less than 0.2 mm free
    expect(bench.page.get_by_text(re.compile(
        r"^From the bottom: dark, 0 to (35|34\.9) mm; light, (35|34\.9) to (70|69\.[89]) mm\.$"))).to_be_visible()


def test_fats_in_masses_and_other_units_go_as_they_were_told(bench: Bench) -> None:
    bench.page.evaluate("""() => { const element = document.querySelector("kettlewright-batch");
        element.dataset.units = '{"mass": "oz", "length": "in", "temperature": "degF"}';
        element.setAttribute("by", "mass"); }""")
    bench.add("olive oil (virgin, refined): 20 oz", Fat="Olive oil (virgin, refined)", Mass="20")
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
    bench.box("Number of moulds").fill("2")
    bench.press("Show what to weigh")
    bench.heading("What to weigh")
    body = bench.sent()
    assert body["recipe"]["fats"] == [{"fat": "olive", "mass": 20}]
    assert body["mould"] == {"shape": "cylinder", "diameter": 4, "depth": 6, "count": 2}
    assert body["units"] == {"mass": "oz", "length": "in", "volume": "mL", "temperature": "degF"}
    expect(row(bench, "olive oil (virgin, refined)").get_by_role("cell")).to_have_text("20.00 oz")


def test_rows_are_changed_in_place_and_taken_out(bench: Bench) -> None:
    bench.add("olive oil (virgin, refined): 70 %", Fat="olive", Share="70")
    bench.add("coconut oil: 20 %", Fat="coconut", Share="20")
    expect(bench.page.get_by_text("Total 90 % of 100 %.")).to_be_visible()
    bench.press("Change: olive oil (virgin, refined)")
    bench.box("Share").fill("80")
    bench.press("Save")
    expect(bench.page.get_by_role("listitem").filter(has_text=": ")).to_have_text(
        ["olive oil (virgin, refined): 80 %ChangeRemove", "coconut oil: 20 %ChangeRemove"])
    bench.press("Remove: coconut oil")
    expect(bench.page.get_by_role("status")).to_have_text("coconut oil was removed.")
    expect(bench.box("Fat")).to_be_focused()
    expect(bench.page.get_by_text("coconut oil:")).to_have_count(0)


def test_a_fat_that_was_typed_and_not_added_is_not_lost(bench: Bench) -> None:
    bench.box("Fat").fill("olive")
    bench.box("Share").fill("100")
    bench.box("Superfat, %").fill("5")
    bench.press("Next")
    bench.jug()
    bench.buckets()
    bench.mould()
    bench.heading("What to weigh")
    assert bench.sent()["recipe"]["fats"] == [{"fat": "olive", "share_pct": 100}]


# what is wrong

def test_a_fault_the_service_finds_stands_beside_its_field(bench: Bench) -> None:
    bench.pot(superfat="80")
    bench.jug()
    bench.buckets()
    bench.mould()
    expect(bench.box("Superfat, %")).to_be_focused()  # the first fault, though it is three steps back
    expect(bench.box("Superfat, %")).to_have_accessible_description(
        "Share of the fats that gets no alkali. A superfat of 80 % is not possible here; it must be from 0 to 50 %.")
    expect(bench.box("Superfat, %")).to_have_attribute("aria-invalid", "true")
    bench.box("Superfat, %").fill("5")
    expect(bench.box("Superfat, %")).not_to_have_attribute("aria-invalid", "true")
    bench.press("Next")
    bench.heading("The jug")
    bench.press("Back")
    bench.heading("The pot")
    expect(bench.box("Superfat, %")).not_to_have_attribute("aria-invalid", "true")


def test_a_fault_of_a_whole_part_stands_at_its_first_field(bench: Bench) -> None:
    bench.to_the_mould()
    fails(bench, "**/v1/batches*", status=422, content_type="application/problem+json",
          body='{"detail": "x", "errors": [{"pointer": "/mould", "detail": "It does not hold the batch."}]}')
    bench.mould()
    expect(bench.box("Shape")).to_be_focused()
    expect(bench.box("Shape")).to_have_accessible_description("It does not hold the batch.")


def test_all_faults_stand_at_once_each_in_its_own_step(bench: Bench) -> None:
    bench.pot(superfat="80")
    bench.jug()
    bench.buckets()
    bench.mould(depth="0")
    expect(bench.box("Superfat, %")).to_be_focused()
    bench.box("Superfat, %").fill("5")
    bench.press("Next")
    bench.press("Next")
    bench.press("Next")
    expect(bench.box("Depth")).to_have_accessible_description(
        "A length of 0 mm is not possible here; it must be above 0 (from 0.001 mm) and at most 10 m.")


def test_a_fault_of_a_list_stands_at_the_list_and_one_of_a_row_at_the_row(bench: Bench) -> None:
    bench.add("olive oil (virgin, refined): 70 %", Fat="olive", Share="70")
    bench.add("coconut oil: 40 %", Fat="coconut", Share="40")
    bench.box("Superfat, %").fill("5")
    bench.press("Next")
    bench.jug()
    bench.buckets()
    bench.mould()
    expect(bench.page.get_by_role("alert")).to_have_text(
        "The shares of the fats add up to 110; they must add up to 100: lower one by 10.")
    bench.press("Change: coconut oil")
    bench.box("Share").fill("-30")
    bench.press("Save")
    for _ in range(3):
        bench.press("Next")
    bench.press("Show what to weigh")
    expect(bench.page.get_by_role("button", name="Change: coconut oil")).to_be_focused()
    expect(bench.page.get_by_role("listitem").filter(has_text="coconut oil")).to_contain_text("not possible")
    expect(bench.page.get_by_role("listitem").filter(has_text="olive oil")).not_to_contain_text("not possible")


@pytest.mark.parametrize("text", ["70,5", "1,000", "seventy", "٧٠", "1e3", "0x10", "Infinity"])
def test_what_is_no_number_is_said_before_anything_is_sent(bench: Bench, text: str) -> None:
    bench.box("Fat").fill("olive")
    bench.box("Share").fill(text)
    bench.press("Add")
    expect(bench.box("Share")).to_be_focused()
    expect(bench.box("Share")).to_have_accessible_description("Type a number with a decimal point: 12.5")
    expect(bench.page.get_by_role("button", name="Change")).to_have_count(0)


def test_an_unknown_fat_is_told_with_the_nearest(bench: Bench) -> None:
    bench.box("Fat").fill("olve")
    bench.box("Share").fill("70")
    bench.press("Add")
    expect(bench.box("Fat")).to_be_focused()
    expect(bench.box("Fat")).to_have_accessible_description(re.compile(
        r'^Type its name; known fats appear as you type\. No fat called "olve"\. Did you mean olive .*"olive"'))


def test_no_step_is_left_with_something_missing(bench: Bench) -> None:
    bench.press("Next")
    expect(bench.box("Fat")).to_have_accessible_description(
        "Type its name; known fats appear as you type. Add a fat first.")
    expect(bench.box("Superfat, %")).to_have_accessible_description(
        "Share of the fats that gets no alkali. Fill in this field.")
    bench.pot()
    bench.press("Next")
    for label in ("Purity, %", "How much", "Water temperature"):
        expect(bench.box(label)).to_have_attribute("aria-invalid", "true")


# cautions

def test_what_is_dangerous_here_stands_first_and_what_always_holds_before_the_weighing(bench: Bench) -> None:
    bench.pot()
    bench.jug(water="30")
    bench.buckets()
    bench.mould()
    bench.heading("What to weigh")
    expect(bench.page.get_by_role("status")).to_have_text("Ready. Read the cautions before you weigh.")
    told = bench.page.locator("li[part~=caution]").all_inner_texts()
    assert told[0].startswith("Danger: The lye may reach")
    jug = [text for text in told[1:] if "poison centre" in text or not text.startswith("Note")]
    assert [text.split(":")[0] for text in jug] == ["Danger"] * 3 + ["Warning"] * 4 + ["Note"]
    body = bench.page.locator("kettlewright-batch section").inner_text()
    order = [body.index(text) for text in (
        "The lye may reach", "Add the alkali to cold water", "sodium hydroxide, at least 98 % pure\t", "In the pot",
        "fresh soap is caustic", "local law")]
    assert order == sorted(order)


def test_every_standing_caution_of_a_batch_is_shown(bench: Bench, place: Place) -> None:
    bench.to_the_mould()
    bench.mould()
    bench.heading("What to weigh")
    asked = bench.page.request.get(f"{place.service}/v1/cautions").json()["cautions"]
    standing = {one["message"] for one in asked if "batches" in one["standing_for"]}
    shown = {text.split(": ", 1)[1] for text in bench.page.locator("li[part~=caution]").all_inner_texts()}
    assert len(standing) >= 12
    assert standing <= shown


def test_without_the_cautions_nothing_to_weigh_is_shown(bench: Bench) -> None:
    bench.to_the_mould()
    fails(bench, "**/v1/cautions?*", status=500, body="<h1>no</h1>", content_type="text/html")
    bench.mould()
    expect(bench.page.get_by_role("alert")).to_have_text(
        "The service returned an error (500). Your entries are kept; try again later.")
    expect(bench.page.get_by_role("table")).to_have_count(0)


# a service in trouble

@pytest.mark.parametrize(("reply", "said"), [
    ({"status": 429, "headers": {"Retry-After": "7"}}, "The service is busy. Try again in 7 seconds."),
    ({"status": 429}, "The service is busy. Try again later."),
    ({"status": 503, "headers": {"Retry-After": "soon<b>"}}, "The service is busy. Try again later."),
    ({"status": 502, "body": "<html><h1>Bad Gateway</h1></html>", "content_type": "text/html"},
     "The service returned an error (502). Your entries are kept; try again later."),
    ({"status": 200, "body": "<html>Log in to the network</html>", "content_type": "text/html"},
     "The service returned an error (200). Your entries are kept; try again later."),
    ({"status": 200, "body": '{"weigh_list": [{}], "cautions": [], "standing_cautions": []}',
      "content_type": "application/json"},
     "The service returned an error (?). Your entries are kept; try again later."),
    ({"status": 413, "body": '{"detail": "The body is larger than 9 bytes; send a smaller one."}',
      "content_type": "application/problem+json"}, "The body is larger than 9 bytes; send a smaller one."),
    ({"status": 422, "body": '{"detail": "x", "errors": [{"pointer": "/residue/pot", "detail": "Too much residue."}]}',
      "content_type": "application/problem+json"}, "Too much residue."),
], ids=["429", "429 without a time", "503", "502 in HTML", "a page in place of it", "not a batch", "413",
        "422 elsewhere"])
def test_a_service_in_trouble_gets_a_plain_sentence(bench: Bench, reply: dict[str, Any], said: str) -> None:
    bench.to_the_mould()
    fails(bench, "**/v1/batches*", **reply)
    bench.mould()
    expect(bench.page.get_by_role("alert")).to_have_text(said)
    expect(bench.page.get_by_role("alert")).to_be_focused()
    bench.page.unroute("**/v1/batches*")
    expect(bench.box("Depth")).to_have_value("70")
    bench.press("Show what to weigh")
    bench.heading("What to weigh")


def test_a_service_that_is_down_gets_a_plain_sentence(bench: Bench) -> None:
    bench.page.route("**/v1/**", lambda route: route.abort("connectionrefused"))
    bench.page.reload()
    bench.box("Fat").fill("olive")
    bench.box("Share").fill("70")
    bench.press("Add")
    expect(bench.page.get_by_role("alert")).to_have_text(
        "The service does not respond. Your entries are kept; try again.")
    expect(bench.box("Fat")).to_have_value("olive")
    bench.page.unroute("**/v1/**")
    bench.press("Add")
    expect(bench.page.get_by_text("olive oil (virgin, refined): 70 %")).to_be_visible()
    expect(bench.page.get_by_role("alert")).to_have_count(0)


@pytest.mark.parametrize("reply", [{"status": 502, "body": "<h1>no", "content_type": "text/html"},
                                   {"status": 200, "body": "<html>Log in", "content_type": "text/html"}])
def test_a_batch_without_a_picture_is_still_a_batch(bench: Bench, reply: dict[str, Any]) -> None:
    bench.to_the_mould()
    fails(bench, "**/v1/batches?format=svg", **reply)
    bench.mould()
    expect(bench.page.get_by_text("The picture could not be loaded.")).to_be_visible()
    expect(row(bench, "water")).to_be_visible()


def test_pressing_twice_adds_once(bench: Bench) -> None:
    held: list[Route] = []
    bench.page.route("**/v1/fats", lambda route: held.append(route))  # the service takes its time
    bench.page.reload()
    bench.box("Fat").fill("olive")
    bench.box("Share").fill("70")
    bench.page.get_by_role("button", name="Add").dblclick()
    bench.page.unroute("**/v1/fats")  # lets go of what is held
    assert held
    expect(bench.page.get_by_text("olive oil (virgin, refined): 70 %")).to_be_visible()
    bench.add("coconut oil: 30 %", Fat="coconut", Share="30")
    expect(bench.page.get_by_role("button", name="Remove")).to_have_count(2)


def test_a_picture_is_let_go_of_with_its_step(bench: Bench) -> None:
    bench.to_the_mould()
    bench.mould()
    old = bench.page.get_by_role("img").get_attribute("src")
    bench.press("Change something")
    assert bench.page.evaluate("""(src) => new Promise((done) => { const image = new Image();
        image.onload = () => done("kept"); image.onerror = () => done("gone"); image.src = src; })""", old) == "gone"


# the page around it

def test_hostile_names_stay_text(bench: Bench) -> None:
    bench.pot()
    bench.jug()
    bench.buckets(HOSTILE)
    bench.mould()
    expect(bench.page.get_by_role("heading", name=f"Bucket: {HOSTILE}")).to_be_visible()
    expect(bench.page.locator("kettlewright-batch img")).to_have_count(1)  # the picture alone
    assert bench.page.title() == "A page"


def test_a_hostile_service_runs_nothing(bench: Bench, place: Place) -> None:
    bench.to_the_mould()
    svg = ('<svg xmlns="http://www.w3.org/2000/svg" onload="document.title=1">'
           '<script>top.document.title = "taken"</script><rect style="fill: red" width="9" height="9"/></svg>')
    asked = bench.page.request.get(f"{place.service}/v1/cautions").json()
    for one in asked["cautions"]:
        one["message"] = HOSTILE
    fails(bench, "**/v1/batches?format=svg", status=200, body=svg, content_type="image/svg+xml")
    fails(bench, "**/v1/cautions?*", status=200, json=asked)
    bench.mould()
    expect(bench.page.get_by_text(HOSTILE).first).to_be_visible()
    expect(bench.page.get_by_role("img")).to_be_visible()
    assert bench.page.title() == "A page"


def test_nothing_is_stored(bench: Bench) -> None:
    bench.to_the_mould()
    bench.mould()
    bench.heading("What to weigh")
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


def test_words_of_the_host_stand_in_place_of_ours_and_stay_text(bench: Bench) -> None:
    bench.page.evaluate("""(hostile) => { const element = document.querySelector("kettlewright-batch");
        element.dataset.strings = JSON.stringify({ next: "Weiter", pot: "overruled" });
        element.strings = { pot: "Der Topf", pot_says: hostile }; }""", HOSTILE)
    expect(bench.page.get_by_role("heading", name="Der Topf")).to_be_visible()
    expect(bench.page.get_by_role("button", name="Weiter")).to_be_visible()
    expect(bench.page.get_by_text(HOSTILE)).to_be_visible()
    assert bench.page.title() == "A page"


def test_words_and_parts_of_the_request_may_be_given_before_the_module_has_come(bench: Bench) -> None:
    bench.page.add_init_script("""new MutationObserver(() => {
        const element = document.querySelector("kettlewright-batch");
        if (!element || element.matches(":defined")) return;
        element.strings = { pot: "Early words" }; element.extra = { residue: { pot: 12 } };
    }).observe(document, { childList: true, subtree: true });""")
    bench.page.reload()
    bench.pot(pot="Early words")
    bench.jug()
    bench.buckets()
    bench.mould()
    bench.heading("What to weigh")
    assert bench.sent()["residue"] == {"pot": 12}


@pytest.mark.parametrize("locale", ["en", "de"])
def test_what_always_holds_is_said_in_the_language_of_the_request(bench: Bench, place: Place, locale: str) -> None:
    texts = {wanted: {one["key"]: one["message"] for one in bench.page.request.get(
        f"{place.service}/v1/cautions?locale={wanted}").json()["cautions"] if "batches" in one["standing_for"]}
        for wanted in ("en", "de")}
    bench.page.evaluate("(locale) => { document.querySelector('kettlewright-batch').extra = { locale }; }", locale)
    bench.to_the_mould()
    bench.mould()
    bench.heading("What to weigh")
    shown = bench.page.locator("kettlewright-batch section").inner_text()
    other = {"en": "de", "de": "en"}[locale]
    assert len(texts[locale]) > 5
    for key, text in texts[locale].items():
        assert text in shown, key
        assert texts[other][key] not in shown, key


def test_parts_colours_and_slots_are_open_to_the_host(bench: Bench) -> None:
    bench.page.evaluate("""() => { const look = new CSSStyleSheet();
        look.replaceSync("kettlewright-batch { --kw-accent: rgb(1, 2, 3); } ::part(heading) { font-size: 77px; }");
        document.adoptedStyleSheets.push(look);
        const note = document.createElement("p"); note.slot = "before"; note.textContent = "A word before.";
        document.querySelector("kettlewright-batch").append(note); }""")
    heading, button = bench.page.get_by_role("heading", name="The pot"), bench.page.get_by_role("button", name="Next")
    expect(heading).to_have_css("font-size", "77px")
    expect(button).to_have_css("background-color", "rgb(1, 2, 3)")
    expect(bench.page.get_by_text("A word before.")).to_be_visible()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 1280])
def test_axe_finds_nothing_at_any_step_and_nothing_scrolls_sideways(bench: Bench, place: Place, width: int,
                                                                    scheme: str) -> None:
    bench.page.set_viewport_size({"width": width, "height": 800})
    bench.page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]  # both are schemes
    bench.page.goto(f"{place.pages}/example.html")

    def clean() -> None:
        assert bench.findings() == []
        assert bench.sideways() == 0

    expect(bench.page.get_by_role("heading", name="First, the pot")).to_be_visible()
    clean()
    bench.press("Next")
    clean()  # with faults
    bench.pot(pot="First, the pot")
    clean()
    bench.jug(water="30")
    bench.add(f"{'endless' * 8}: 100 %", Name="endless" * 8, Share="100")
    clean()
    bench.press("Next")
    clean()
    bench.mould(depth="0")
    expect(bench.box("Depth")).to_be_focused()
    clean()
    bench.box("Depth").fill("70")
    bench.press("Show what to weigh")
    bench.heading("What to weigh")
    clean()


def test_the_example_page_adds_to_the_request_and_hears_of_the_plan(bench: Bench, place: Place) -> None:
    bench.page.goto(f"{place.pages}/example.html")
    bench.pot(pot="First, the pot")
    bench.jug()
    bench.buckets()
    bench.mould()
    bench.heading("What to weigh")
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
    expect(page.locator("body")).to_contain_text('"status": 422')
