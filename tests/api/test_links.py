"""GET twins: the address makes the body of the POST, and nothing it could mean otherwise is taken."""

from __future__ import annotations

import base64
import json
import re
import zlib
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from flask.testing import FlaskClient
from hypothesis import example, given
from hypothesis import strategies as st
from kettlewright.app import create_app
from kettlewright.names import slug
from kettlewright.settings import Settings

from api.addresses import address
from api.contract import committed, parameters_of
from api.test_bad_input import faults, problem

EXAMPLES_AT = Path(__file__).parents[2] / "service" / "kettlewright" / "api" / "endpoints" / "examples"
OPERATIONS = ("lye", "scaling", "moulds", "portions", "cuts", "cure", "batches")
ONLY_A_PLAN_HAS = {"label", "prices", "fade", "own_fats", "compare_to"}  # of a batch; its other keys are in the address
EXAMPLES = [(name, example["title"], example["body"]) for name in OPERATIONS
            for example in json.loads((EXAMPLES_AT / f"{name}.json").read_text(encoding="utf-8"))
            if not ONLY_A_PLAN_HAS & example["body"].keys()]
DOCUMENT = committed()
APP = create_app(Settings(max_url_length=8_000)).test_client()  # for names longer than makers give
LYE = "/v1/lye?fat=olive,mass:700&fat=coconut,mass:300&superfat_pct=5&alkali=NaOH,purity:98&water=water_to_alkali:2"


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return APP


def unpacked(links: dict[str, str]) -> Any:
    """The body in the address of a plan, by the rules of the contract."""
    letters = links["self"].partition("plan=1")[2]
    return json.loads(zlib.decompress(base64.urlsafe_b64decode(letters + "=" * (-len(letters) % 4))))


def the_same(operation: str, body: dict[str, Any]) -> None:
    """Address and body are answered by the same bytes; where both are refused, by the same words."""
    posted, got = APP.post(f"/v1/{operation}", json=body), APP.get(address(operation, body))
    assert got.status_code == posted.status_code, got.text
    if posted.status_code == 200:
        if operation == "batches":  # whose own address packs the keys in the order they came in
            replies = [reply.json for reply in (posted, got)]
            assert [unpacked(reply.pop("links")) for reply in replies] == [body, body]
            assert replies[0] == replies[1]
        else:
            assert got.data == posted.data
    else:
        def words(part: Any) -> list[str]:
            return sorted(re.sub(r"^\S+ ", "", fault["detail"]) for fault in part["errors"])
        assert words(got.json) == words(posted.json)


@pytest.mark.parametrize(("operation", "title", "body"), EXAMPLES,
                         ids=[f"{name} {title}" for name, title, _ in EXAMPLES])
def test_every_example_is_answered_by_the_same_bytes(operation: str, title: str, body: dict[str, Any]) -> None:
    assert APP.get(address(operation, body)).status_code == 200
    assert len(address(operation, body)) <= 2_048
    the_same(operation, body)


def numbers(low: float, high: float) -> st.SearchStrategy[float | int]:
    return st.one_of(st.integers(int(low) + 1, int(high)), st.floats(low, high, allow_subnormal=False))


NAMES = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=12).map(
    lambda word: f"a{word},b:\\")
RECIPES = st.fixed_dictionaries({
    "fats": st.lists(st.one_of(
        st.fixed_dictionaries({"fat": st.sampled_from(["olive", "coconut", "castor", "shea"]),
                               "mass": numbers(1, 5000)}, optional={"lot": NAMES, "density": numbers(0.8, 1)}),
        st.fixed_dictionaries({"name": NAMES, "mass": numbers(1, 5000), "saponification_value": st.tuples(
            numbers(150, 200), numbers(200, 260)).map(lambda ends: {"min": ends[0], "max": ends[1]})})),
        min_size=1, max_size=4),
    "superfat_pct": numbers(0, 20),
    "alkalis": st.one_of(
        st.just([{"alkali": "NaOH"}]),
        st.fixed_dictionaries({"alkali": st.sampled_from(["NaOH", "KOH"]), "purity_pct": numbers(80, 100)},
                              optional={"purity_tolerance_pct": numbers(0, 2), "lot": NAMES,
                                        "count_impurity_as_water": st.booleans()}).map(lambda one: [one]),
        st.integers(1, 99).map(lambda share: [{"alkali": "KOH", "share_pct": share, "purity_at_least_pct": 85},
                                              {"alkali": "NaOH", "share_pct": 100 - share,
                                               "stock": {"concentration_pct": 50}}])),
    "water": st.one_of(st.fixed_dictionaries({"water_to_alkali": numbers(1, 4)}),
                       st.fixed_dictionaries({"lye_concentration_pct": numbers(15, 45)})),
}, optional={
    "acids": st.just([{"acid": "citric_anhydrous", "pct_of_fats": 1.5}]),
    "temperatures": st.fixed_dictionaries({"water": numbers(1, 40)}, optional={"fats": numbers(20, 60)})})


@given(recipe=RECIPES, workings=st.booleans(), units=st.sampled_from([{}, {"mass": "oz"}, {"mass": "kg", "dose": "g"}]))
def test_any_recipe_is_answered_by_the_same_bytes(recipe: dict[str, Any], workings: bool, units: Any) -> None:
    the_same("lye", {**recipe, "workings": workings, **({"units": units} if units else {})})


@given(recipe=RECIPES, target=st.one_of(
    st.fixed_dictionaries({"factor": numbers(0.1, 9)}), st.fixed_dictionaries({"batter_mass": numbers(500, 9000)}),
    st.just({"mould": {"shape": "trough", "length": 250, "width": 90, "base_width": 70.5, "depth": 80},
             "residue": {"pot": 15}}),
    st.just({"bars": {"count": 20, "mass": 110, "expected_loss_pct": 11}})))
def test_any_size_is_answered_by_the_same_bytes(recipe: dict[str, Any], target: dict[str, Any]) -> None:
    the_same("scaling", {"recipe": recipe, "target": target})


@given(names=st.lists(NAMES, min_size=1, max_size=4, unique_by=slug), mass=numbers(500, 5000), dose=numbers(0.5, 20))
def test_any_portions_are_answered_by_the_same_bytes(names: list[str], mass: float, dose: float) -> None:
    addition = {"name": "red iron oxide, fine", "kind": "colourant", "dose": dose, "basis": "g_per_kg_batter"}
    the_same("portions", {
        "batter": {"mass": mass, "density": 1}, "additions": [{**addition, "name": "salt", "kind": "salt"}],
        "portions": [{"name": name, "share_pct": 100 / len(names),
                      "additions": [addition, {**addition, "name": "blue"}]} for name in names]})


@given(recipe=RECIPES, depth=numbers(20, 90), share=st.integers(1, 99), units=st.sampled_from([{}, {"mass": "oz"}]))
def test_any_batch_is_answered_by_the_same_bytes(recipe: dict[str, Any], depth: float, share: int, units: Any) -> None:
    the_same("batches", {
        "recipe": recipe, "mould": {"shape": "box", "length": 380, "width": 260, "depth": depth},
        "portions": [{"name": "deep red", "share_pct": share, "additions": [
            {"name": "red iron oxide", "kind": "colourant", "dose": 6, "basis": "g_per_kg_batter"}]},
            {"name": "plain", "share_pct": 100 - share}], "additions": [
                {"name": "lavender", "kind": "fragrance", "dose": 3, "basis": "pct_of_fats"}],
        "cut": {"loaf": {"width": 85, "trim": {"start": 4, "end": 4}}, "bar": {"thickness": 25}, "kerf": 1,
                "trim": {"start": 2, "end": 3}, "tolerance": {"height": 2}},
        "dates": {"pour": "2027-02-02", "cure_days": 42, "closed": {"weekdays": ["sunday"]}},
        "residue": {"pot": 15, "portion": 4}, "expected_loss_pct": 11, **({"units": units} if units else {})})


@given(length=numbers(50, 500), kerf=numbers(0, 3), thickness=numbers(10, 40), loaf=st.booleans())
def test_any_cut_is_answered_by_the_same_bytes(length: float, kerf: float, thickness: float, loaf: bool) -> None:
    body = {"block": {"length": length, "width": 200, "height": 60}, "bar": {"thickness": thickness}, "kerf": kerf}
    the_same("cuts", {**body, "loaf": {"width": 90, "kerf": 2, "trim": {"start": 1, "end": 0}}} if loaf else body)


def test_what_is_left_out_is_what_the_body_leaves_out(client: FlaskClient) -> None:
    posted = client.post("/v1/lye", json={
        "fats": [{"fat": "olive", "mass": 700}, {"fat": "coconut", "mass": 300}], "superfat_pct": 5,
        "alkalis": [{"alkali": "NaOH", "purity_pct": 98}], "water": {"water_to_alkali": 2}})
    assert client.get(LYE).data == posted.data
    assert client.get(LYE.replace("purity:98", "purity_pct:98")).data == posted.data


@pytest.mark.parametrize(("units", "given_units"), [
    ("oz,in", {"mass": "oz", "dose": "g", "length": "in", "volume": "mL", "temperature": "degC"}),
    ("kg,dose:oz,degF,us_fl_oz", {"mass": "kg", "dose": "oz", "length": "mm", "volume": "us_fl_oz",
                                  "temperature": "degF"}),
    ("mass:lb", {"mass": "lb", "dose": "g", "length": "mm", "volume": "mL", "temperature": "degC"})])
def test_a_unit_names_what_it_measures(client: FlaskClient, units: str, given_units: dict[str, str]) -> None:
    reply = client.get(f"{LYE}&units={units}".replace("mass:700", "mass:7").replace("mass:300", "mass:3")).json
    assert reply is not None
    assert reply["units"] == given_units


def test_one_number_for_a_range_is_a_range_without_width(client: FlaskClient) -> None:
    rest = "&superfat_pct=5&alkali=NaOH&water=water_to_alkali:2"
    got = client.get(f"/v1/lye?fat=lot-7,sv:182,mass:500{rest}")
    assert got.status_code == 200
    assert got.data == client.get(f"/v1/lye?fat=lot-7,saponification_value:182-182,mass:500{rest}").data


WRONG = [
    ("a bare number", "fat=olive,700", "/fat/0", "Name every part: fat=olive,mass:700"),
    ("bare numbers after colons", "alkali=NaOH:98:70", "/alkali/0", "alkali=NaOH,purity:98"),
    ("one bare number after a colon", "fat=olive:700", "/fat/0", '"olive:700" does not say what "700" is.'),
    ("a first word left out", "fat=mass:700", "/fat/0", "Begin with the word that says what this is, without a name"),
    ("decimals after a comma", "fat=olive,mass:52,5", "/fat/0", "write a point for decimals: mass:52.5."),
    ("thousands after a comma", "fat=olive,mass:1,500", "/fat/0", "if it parts thousands, mass:1500"),
    ("decimals after a comma of a single value", "superfat_pct=5,5", "/superfat_pct", "5.5."),
    ("digits of another script", "fat=olive,mass:" + quote("٧٠٠"), "/fat/0/mass", "write the digits 0 to 9"),
    ("wide digits", "superfat_pct=" + quote("５"), "/superfat_pct", "write the digits 0 to 9"),
    ("a number with a unit", "fat=olive,mass:700g", "/fat/0/mass", "with nothing before or after"),
    ("thousands apart", "fat=olive,mass:1+500", "/fat/0/mass", "without thousands separators"),
    ("a plus, which is a space", "superfat_pct=+5", "/superfat_pct", '" 5" is not a number'),
    ("a leading zero", "superfat_pct=05", "/superfat_pct", "is not a number"),
    ("a hexadecimal number", "superfat_pct=0x5", "/superfat_pct", "is not a number"),
    ("an underscore", "fat=olive,mass:7_00", "/fat/0/mass", "is not a number"),
    ("infinity", "fat=olive,mass:inf", "/fat/0/mass", "is not a number"),
    ("nothing known as a number", "fat=olive,mass:NaN", "/fat/0/mass", "is not a number"),
    ("too large for a number", "fat=olive,mass:1e999", "/fat/0/mass", "too large to compute with"),
    ("too many digits", f"fat=olive,mass:{'7' * 41}", "/fat/0/mass", "has 41 digits; at most 40"),
    ("a doubled key", "superfat_pct=5&superfat_pct=6", "/superfat_pct", "appears 2 times"),
    ("a doubled part", "fat=olive,mass:700,mass:7", "/fat/0/mass", "appears twice"),
    ("a part under both its names", "alkali=NaOH,purity:98,purity_pct:99", "/alkali/0/purity_pct", "appears twice"),
    ("a part and its short name", "fat=lot,sv:180-190,saponification_value:180-190,mass:1",
     "/fat/0/saponification_value", "appears twice"),
    ("an unknown key", "superfatt_pct=5", "/superfatt_pct", 'Did you mean "superfat_pct"?'),
    ("an unknown part", "alkali=NaOH,purty:98", "/alkali/0/purty", 'Did you mean "purity_pct"?'),
    ("a key of the body", "fats=olive", "/fats", 'Did you mean "fat"?'),
    ("what only a body can say", "own_fats=x", "/own_fats", "only known in a body: send POST /v1/lye"),
    ("an empty value", "superfat_pct=", "/superfat_pct", "is empty; leave it out"),
    ("a key without a value", "superfat_pct", "/superfat_pct", "is empty; leave it out"),
    ("an empty part", "fat=olive,,mass:700", "/fat/0", "nothing between two commas"),
    ("a comma at the end", "fat=olive,mass:700,", "/fat/0", "nothing between two commas, or at an end"),
    ("a part without a value", "fat=olive,mass:", "/fat/0", '"mass" has no value'),
    ("a value without a name", "fat=olive,:700", "/fat/0", "no name before it"),
    ("a backslash alone", r"fat=oli\ve,mass:700", "/fat/0", "backslash may only be before"),
    ("a range that is none", "fat=lot,sv:180..190,mass:5", "/fat/0/sv", "such as 180-185"),
    ("neither yes nor no", "workings=yes", "/workings", "neither true nor false"),
    ("an unknown unit", "units=stone", "/units", "not a known unit"),
    ("two units of one kind", "units=g,oz", "/units", "both give the mass"),
    ("a unit of nothing", "units=speed:g", "/units", "does not have a unit"),
    ("a unit of another kind", "units=mass:mm", "/units", "it is one of g, kg, oz, lb"),
    ("an escape that hides a comma", "fat=olive%2C700", "/fat/0", "has no name"),
    ("an escape of an escape", "fat=olive%252Cmass:700", "/fat/0", "does not say what"),
]


@pytest.mark.parametrize("query", [query for title, query, *_ in WRONG if "after a comma" in title])
def test_a_number_with_a_comma_is_of_the_wrong_type(client: FlaskClient, query: str) -> None:
    reply = client.get(f"/v1/lye?{query}").json
    assert reply is not None
    assert "wrong_type" in {one["code"] for one in reply["errors"] if "comma" in one["detail"]}, reply


@pytest.mark.parametrize(("what", "query", "pointer", "words"), WRONG, ids=[case[0] for case in WRONG])
def test_what_could_be_read_otherwise_is_refused(client: FlaskClient, what: str, query: str, pointer: str,
                                                 words: str) -> None:
    name = query.split("=")[0]
    rest = "&".join(part for part in LYE.split("?")[1].split("&") if not part.startswith(f"{name}="))
    errors = faults(client.get(f"/v1/lye?{query}&{rest}"))
    assert words in errors[pointer]


@pytest.mark.parametrize(("what", "query", "pointer", "words"), WRONG, ids=[case[0] for case in WRONG])
def test_a_cell_can_show_what_is_wrong(client: FlaskClient, what: str, query: str, pointer: str, words: str) -> None:
    """Programs hide the body of a 4xx from their cells: the same sentences come with status 200 in one line."""
    name = query.split("=")[0]
    rest = "&".join(part for part in LYE.split("?")[1].split("&") if not part.startswith(f"{name}="))
    refused = client.get(f"/v1/lye?{query}&{rest}")
    for said in (client.get(f"/v1/lye?{query}&{rest}&field=problem"),
                 client.get(f"/v1/lye?format=text&field=problem&{query}&{rest}")):
        assert (said.status_code, said.mimetype) == (200, "text/plain")
        assert "\n" not in said.text
        for error in refused.json["errors"][:3]:
            assert " ".join(error["detail"].split()) in said.text


def test_the_problem_of_a_valid_request_is_none(client: FlaskClient) -> None:
    for operation, _, body in EXAMPLES:
        said = client.get(address(operation, body) + "&field=problem")
        assert (said.status_code, said.text) == (200, "none")
        assert client.head(address(operation, body) + "&field=problem").status_code == 200
        assert client.post(f"/v1/{operation}?field=problem", json=body).text == "none"
        assert "problem" not in client.post(f"/v1/{operation}", json=body).json


def test_the_problem_of_many_errors_is_short_and_counts_items_from_one(client: FlaskClient) -> None:
    fats = "&".join(f"fat=olive,mass:-{number}" for number in range(1, 9))
    said = client.get(f"/v1/lye?{fats}&superfat_pct=5&alkali=NaOH&water=water_to_alkali:2&field=problem").text
    assert said.startswith("fat 1 mass: ")
    assert "fat 3 mass: " in said
    assert "fat 4 mass" not in said
    assert said.endswith("(5 more)")
    assert client.post("/v1/lye?field=problem", data="{", content_type="application/json").status_code == 200


def test_errors_of_the_operation_point_at_the_key_of_the_address(client: FlaskClient) -> None:
    reply = client.get("/v1/lye?fat=olive,mass:700&fat=cocnut,mass:-3&superfat_pct=60&alkali=KOH")
    assert faults(reply).keys() == {"/fat/1", "/fat/1/mass", "/superfat_pct", "/alkali/0/purity_pct", "/water"}
    reply = client.get("/v1/lye?fat=lot,sv:190-180,mass:5&superfat_pct=5&alkali=NaOH&water=water_to_alkali:2")
    assert list(faults(reply)) == ["/fat/0/sv"]
    reply = client.get("/v1/cure?dates=release:2027-03-20&closed=sunday&closed=2027-02-19..2027-02-15")
    assert list(faults(reply)) == ["/closed/1"]
    errors = faults(client.get("/v1/scaling?fat=olive,share:60&superfat_pct=5&water=water_to_alkali:2&alkali=NaOH"
                               "&mould=box,length:5,width:0,depth:6"))
    assert errors.keys() == {"/fat", "/mould/width"}
    errors = faults(client.get("/v1/portions?batter=mass:5000,density:1&portion=red,share:100"
                               "&addition=salt,kind:salt,dose:1,basis:g_per_kg_batter"
                               "&addition=rust,to:Red,kind:colourant,dose:0,basis:g_per_kg_batter"))
    assert list(errors) == ["/addition/1/dose"]


def test_all_errors_are_reported_at_once(client: FlaskClient) -> None:
    errors = faults(client.get("/v1/lye?fat=olive,7&fat=coconut,mass:x,share:y&alkali=NaOH:9:9&superfat=5"))
    assert errors.keys() == {"/fat/0", "/fat/1/mass", "/fat/1/share", "/alkali/0", "/superfat"}


def test_what_is_missing_is_said_by_its_own_key(client: FlaskClient) -> None:
    assert faults(client.get("/v1/lye")).keys() == {"/fat", "/alkali", "/water"}
    assert faults(client.get("/v1/scaling")).keys() >= {"/fat", "/alkali", "/water"}
    assert list(faults(client.get("/v1/moulds"))) == ["/mould"]
    assert faults(client.get("/v1/batches")).keys() >= {"/fat", "/alkali", "/water", "/mould"}


@pytest.mark.parametrize(("query", "words"), [
    ("dusting=kaolin,coverage:60", "Say which portion this belongs to"),
    ("dusting=kaolin,to:rad,coverage:60", 'no portion called "rad". Did you mean "red"?'),
    ("dusting=kaolin,to:red,coverage:60&dusting=mica,to:red,coverage:60", "already has a dusting"),
    ("portion=Red!,share:50&dusting=kaolin,to:red,coverage:60", '2 are called "red"'),
    ("borrow=red,to:red,share:5,share:6", "appears twice")])
def test_what_belongs_to_a_portion_says_to_which(client: FlaskClient, query: str, words: str) -> None:
    reply = client.get(f"/v1/portions?batter=mass:5000,density:1&portion=red,share:100&{query}")
    assert words in reply.text.replace('\\"', '"')


@pytest.mark.parametrize(("query", "words"), [
    ("fat=olive%", "%25"), ("fat=%zz", "%25"), ("fat=%F", "%25"), ("fat=%ff", "not UTF-8"),
    ("fat=%c0%af", "not UTF-8"), ("fat=%ed%a0%80", "not UTF-8"), ("fat=olive%00", "cannot be printed"),
    ("fat=olive%0a", "cannot be printed"), ("%0d=1", "cannot be printed"), ("fat=%e2%80%ae", "cannot be printed")])
def test_broken_escapes_are_unreadable(client: FlaskClient, query: str, words: str) -> None:
    assert words in problem(client.get(f"/v1/lye?{query}"), 400)["detail"]


@pytest.mark.parametrize("path", [LYE, "/v1/cure", "/v1/fats"])
def test_a_body_that_would_not_be_read_is_refused(client: FlaskClient, path: str) -> None:
    assert "Send the body as POST" in problem(client.get(path, json={"superfat_pct": 3}), 400)["detail"]
    assert client.get(path, data=b"").status_code == 200


def test_percent_encoding_changes_nothing(client: FlaskClient) -> None:
    plain = client.get(LYE)
    path, query = LYE.split("?")
    escaped = "&".join("=".join("".join(f"%{byte:02x}" for byte in part.encode()) for part in pair.split("="))
                       for pair in query.split("&"))
    assert client.get(f"{path}?{escaped}").data == plain.data
    assert client.get(f"{path}?&{query}&&").data == plain.data
    assert client.get(LYE.replace("fat=olive", "fat=oli;ve")).status_code == 422


@given(query=st.one_of(
    st.text(st.characters(codec="utf-8"), max_size=80).map(lambda text: quote(text, safe="=&,:\\")),
    st.lists(st.tuples(st.sampled_from(["fat", "alkali", "water", "units", "scale", "workings", "format", "field"]),
                       st.text("olive,:\\-.0123456789sv massNaOH", max_size=24)), max_size=6).map(
        lambda found: "&".join(f"{key}={quote(value)}" for key, value in found))),
       operation=st.sampled_from(OPERATIONS))
@example(query="fat=a&fat=b,sv:1-2-3", operation="lye")
@example(query="closed=..&closed=:,::", operation="cure")
def test_no_address_breaks_the_service(query: str, operation: str) -> None:
    reply = APP.get(f"/v1/{operation}?{query}")
    assert reply.status_code in (200, 400, 422), reply.text
    if reply.status_code != 200:
        assert reply.content_type == "application/problem+json"


@given(dropped=st.sampled_from([":", ",", "mass", "7", "="]), at=st.integers(0, 5))
def test_a_character_lost_never_gives_another_figure_in_silence(dropped: str, at: int) -> None:
    """Of what is typed wrong only another number can pass, since every number has its name."""
    query = LYE.split("?")[1]
    places = [found.start() for found in re.finditer(re.escape(dropped), query)]
    place = places[at % len(places)]
    reply = APP.get("/v1/lye?" + query[:place] + query[place + len(dropped):])
    assert reply.status_code == 422 or dropped == "7"


@pytest.mark.parametrize("operation", OPERATIONS)
def test_the_examples_of_the_contract_work_together(client: FlaskClient, operation: str) -> None:
    parameters = parameters_of(DOCUMENT, DOCUMENT["paths"][f"/v1/{operation}"]["get"])
    query = "&".join(f"{one['name']}={quote(str(first(one['example'])))}" for one in parameters if one.get("required"))
    more = {"lye": "&superfat_pct=5", "scaling": "&fat=coconut,share:30&superfat_pct=5&batter_mass=4200",
            "moulds": "&mould=box,length:380,width:260,depth:60,headspace:6", "cure": "dates=release:2027-03-20",
            "batches": LYE.partition("?")[2] + "&mould=box,length:380,width:260,depth:60"}
    reply = client.get(f"/v1/{operation}?{query}{more.get(operation, '')}")
    assert reply.status_code == 200, reply.text


def first(value: Any) -> Any:
    return value[0] if isinstance(value, list) else value
