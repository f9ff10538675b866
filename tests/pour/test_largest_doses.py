"""The largest dose keeps within its limit when it is sent back, and is no lower than it has to be."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from kettlewright.app import create_app

CLIENT = create_app().test_client()
RECIPE: dict[str, Any] = {
    "superfat_pct": 5, "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}}
BY_SHARE = {**RECIPE, "fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}]}
BY_MASS = {**RECIPE, "fats": [{"fat": "olive", "mass": 700}, {"fat": "coconut", "mass": 300}]}
BOX = {"shape": "box", "length": 300, "width": 80, "depth": 70}
IN_OIL = {"carrier": "oil", "fat": "sunflower", "strength_pct": 25}
IN_WATER = {"carrier": "water", "strength_pct": 20}
DOSES = {"pct_of_fats": 6.0, "pct_of_batter": 4.0, "g_per_kg_fats": 60.0, "g_per_kg_batter": 40.0, "mass": 70.0}


def post(body: dict[str, Any], path: str = "/v1/batches") -> dict[str, Any]:
    answered = CLIENT.post(path, json=body)
    reply: dict[str, Any] = answered.get_json()
    assert answered.status_code == 200, reply
    return reply


def obeyed(body: dict[str, Any], reply: dict[str, Any], times: float = 1.0) -> dict[str, Any]:
    """The same request with the doses, and the masses of the portions, that the reply advises."""
    again = copy.deepcopy(body)
    for check in reply["limits"]:
        for largest in check["largest_doses"]:
            for addition in _additions(again, largest["portion"]):
                if addition["name"] == check["name"]:
                    addition["dose"] = largest["dose"] * times
        for given_mass in check["portion_masses"]:
            for portion in again["portions"]:
                if portion["name"] == given_mass["portion"]:
                    portion["mass"] = given_mass["mass"]
    return again


def _additions(body: dict[str, Any], portion: str | None) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = body.get("additions", []) if portion is None else next(
        one for one in body["portions"] if one["name"] == portion).get("additions", [])
    return found


def exceeded(reply: dict[str, Any]) -> set[str]:
    return {check["key"] for check in reply["limits"] if check["exceeded"]}


def only(reply: dict[str, Any], key: str) -> dict[str, Any]:
    """The advice of one limit alone."""
    return {**reply, "limits": [check for check in reply["limits"] if check["key"] == key]}


def keeps(body: dict[str, Any], path: str = "/v1/batches") -> dict[str, Any]:
    """Obey the advice: every caution it came with is gone; with 0.3 % more one of them is back."""
    first = post(body, path)
    over = exceeded(first)
    assert over, "this case must exceed a limit"
    for check in first["limits"]:
        assert bool(check["largest_doses"]) == check["exceeded"]
    again = post(obeyed(body, first), path)
    assert not exceeded(again) & over
    assert not [one for one in again["cautions"] if one["key"] == "fragrance-limit-exceeded"
                and one["message"].split(":")[0] in over]
    for key in over:  # each alone keeps within as well
        assert key not in exceeded(post(obeyed(body, only(first, key)), path))
    if not any(check["portion_masses"] for check in first["limits"]):
        more = post(obeyed(body, first, 1.003), path)
        assert exceeded(more) & over or any(key in exceeded(post(obeyed(body, only(first, key), 1.003), path))
                                            for key in over)
    for check in first["limits"]:
        for largest in check["largest_doses"]:
            if largest["basis"] != "mass":  # the words name the dose the JSON has
                words = next(one["message"] for one in first["cautions"] if one["key"] == "fragrance-limit-exceeded"
                             and one["message"].startswith(f"{check['name']}:"))
                assert f"{largest['dose']:.6g} " in words
    return first


def additive(name: str, basis: str, *, limit: float | None, times: float = 1.0, **more: Any) -> dict[str, Any]:
    found = {"name": name, "kind": "fragrance", "dose": DOSES[basis] * times, "basis": basis, **more}
    return found if limit is None else {**found, "limit_pct": limit}


@pytest.mark.parametrize("basis", sorted(DOSES))
@pytest.mark.parametrize("loss", [None, 11])
@pytest.mark.parametrize("dispersion", [None, IN_OIL, IN_WATER])
def test_in_the_pot(basis: str, loss: float | None, dispersion: dict[str, Any] | None) -> None:
    more = {} if dispersion is None else {"dispersion": dispersion}
    scent = additive("scent", basis, limit=1.2, times=0.5 if more else 1.0, **more)
    body = {"recipe": BY_SHARE, "mould": BOX, "cut": {"bar": {"thickness": 25}}, "additions": [scent]}
    keeps(body if loss is None else {**body, "expected_loss_pct": loss})


def test_one_scent_with_a_limit_here_and_none_there() -> None:
    portions = [{"name": "a", "share_pct": 50, "additions": [additive("scent", "pct_of_batter", limit=2.1)]},
                {"name": "b", "share_pct": 50, "additions": [additive("scent", "pct_of_batter", limit=None)]}]
    body = {"recipe": BY_SHARE, "mould": BOX, "cut": {"bar": {"thickness": 25}}, "expected_loss_pct": 11,
            "portions": portions}
    first = keeps(body)
    assert [one["portion"] for one in first["limits"][0]["largest_doses"]] == ["a", "b"]
    assert all("allowed_mass" in portion["additions"][0] for portion in first["portions"])
    assert "fragrance-limit-unknown" not in {one["key"] for one in first["cautions"]}


def test_each_of_two_scents_keeps_within_while_the_other_is_left_as_it_was() -> None:
    # a pot that holds less of the one leaves the other a larger share of each bar
    of_pot = additive("lavender", "pct_of_batter", limit=2.1, dispersion={"carrier": "water", "strength_pct": 50})
    of_bucket = additive("cedar", "g_per_kg_batter", limit=1.1, dispersion={"carrier": "glycerol", "strength_pct": 50})
    first = keeps({"recipe": BY_SHARE, "mould": BOX, "additions": [of_pot],
                   "portions": [{"name": "plain", "share_pct": 50},
                                {"name": "scented", "share_pct": 50, "additions": [of_bucket]}],
                   "cut": {"loaf": {"width": 40}, "bar": {"thickness": 25}, "kerf": 1}})
    assert exceeded(first) == {"lavender", "cedar"}


def test_the_lowest_of_several_limits_decides() -> None:
    def body(first: float, second: float) -> dict[str, Any]:
        return {"recipe": BY_SHARE, "mould": BOX, "arrangement": "mingled", "expected_loss_pct": 11, "portions": [
            {"name": "a", "share_pct": 50, "additions": [additive("scent", "pct_of_batter", limit=first)]},
            {"name": "b", "share_pct": 50, "additions": [additive("scent", "pct_of_batter", limit=second)]}]}

    for limits in ((2.0, 9.0), (9.0, 2.0)):
        check = keeps(body(*limits))["limits"][0]
        assert check["limit_pct"] == 2.0


def test_portions_by_mass_are_reported_their_new_masses() -> None:
    made = post(BY_MASS, "/v1/lye")["batter"]["mass"]
    scent = additive("scent", "pct_of_batter", limit=2.1)
    plain = made / 2
    body = {"recipe": BY_MASS, "mould": {**BOX, "depth": 100}, "expected_loss_pct": 11, "portions": [
        {"name": "a", "mass": plain * 1.04, "additions": [scent]}, {"name": "b", "mass": plain}]}
    first = keeps(body)
    masses = {one["portion"]: one["mass"] for one in first["limits"][0]["portion_masses"]}
    dose = first["limits"][0]["largest_doses"][0]["dose"]
    assert masses == {"a": pytest.approx(plain * (1 + dose / 100), rel=1e-4), "b": pytest.approx(plain, rel=1e-4)}
    assert "The portions then weigh: a " in next(
        one["message"] for one in first["cautions"] if one["key"] == "fragrance-limit-exceeded")


def test_in_ounces_the_dose_can_be_sent_back() -> None:
    body = {"recipe": BY_SHARE, "mould": BOX, "expected_loss_pct": 11, "units": {"mass": "oz", "dose": "oz"},
            "additions": [additive("scent", "mass", limit=2.1, times=0.1)]}
    keeps(body)


def test_at_the_portions_alone() -> None:
    for arrangement, more in (("layers", {}), ("separate", {"mould": {**BOX, "count": 2}})):
        body = {"batter": {"mass": 1000, "density": 1.0, "fats_mass": 700}, "expected_loss_pct": 11,
                "arrangement": arrangement, **more, "portions": [
                    {"name": "a", "share_pct": 50, "additions": [additive("scent", "pct_of_fats", limit=2.1)]},
                    {"name": "b", "share_pct": 50, "borrows": [{"from": "a", "share_pct": 50}],
                     "additions": [additive("scent", "mass", limit=None, times=0.2)]}]}
        keeps(body, "/v1/portions")


@st.composite
def requests(draw: st.DrawFn) -> dict[str, Any]:
    def stirred(name: str) -> dict[str, Any]:
        dispersion = draw(st.sampled_from([None, None, None, IN_OIL, IN_WATER]))
        basis = draw(st.sampled_from(sorted(DOSES)))
        limit = draw(st.sampled_from([None, 0.4, 0.9]))
        found = additive(name, basis, limit=limit, times=draw(st.sampled_from([0.05, 0.3, 1.0]))
                         * (0.2 if dispersion else 1.0) * (0.3 if basis == "mass" else 1.0))
        return found if dispersion is None else {**found, "dispersion": dispersion}

    def of_each(names: list[str]) -> list[dict[str, Any]]:
        kept = [name for name in names if draw(st.booleans())]
        return [stirred(name) for name in kept]

    arrangement = draw(st.sampled_from(["layers", "columns", "mingled", "separate"]))
    count = draw(st.integers(1, 3))
    cut = draw(st.sampled_from([None, {"bar": {"thickness": 25}},
                                {"bar": {"thickness": 25}, "loaf": {"width": 30}, "kerf": 1}]))
    by_mass = draw(st.booleans())
    portions = [{"name": f"p{number}", "share_pct": 100 / count, "additions": of_each(["rose", "clove", "tea tree"])}
                for number in range(count)]
    if count > 1 and draw(st.booleans()):
        portions[-1]["borrows"] = [{"from": "p0", "share_pct": 40}]
    body: dict[str, Any] = {
        "recipe": BY_MASS if by_mass else BY_SHARE, "mould": {**BOX, "depth": 90 if by_mass else 70},
        "arrangement": arrangement, "portions": portions, "additions": of_each(["rose", "clove"]),
        "scale": draw(st.sampled_from([{}, {"readability": 5, "dose_readability": 1}]))}
    if arrangement == "separate":
        body["mould"] = {**body["mould"], "count": count}
    elif cut is not None:
        body["cut"] = cut
    if draw(st.booleans()):
        body["expected_loss_pct"] = draw(st.sampled_from([0, 5, 12]))
    if draw(st.booleans()):
        body["residue"] = {"pot": 10, "portion": 3, "kept_back": draw(st.sampled_from([0, 20]))}
    _one_jar_each(body)
    return body


def _one_jar_each(body: dict[str, Any]) -> None:
    """Two dispersions of one name would be refused: each name keeps the first."""
    jars: dict[str, Any] = {}
    for addition in everything(body):
        jar = jars.setdefault(addition["name"], addition.get("dispersion"))
        addition.pop("dispersion", None)
        if jar is not None:
            addition["dispersion"] = jar


def everything(body: dict[str, Any]) -> Iterator[dict[str, Any]]:
    yield from body["additions"]
    for portion in body["portions"]:
        yield from portion["additions"]


@settings(max_examples=60)
@given(requests())
def test_whatever_the_batch_the_advice_keeps_within(body: dict[str, Any]) -> None:
    answered = CLIENT.post("/v1/batches", json=body)
    if answered.status_code != 200:
        return
    first = answered.get_json()
    over = exceeded(first)
    if not over:
        return
    # the doses of all of them together, and those of one with the others left as they were
    replies = [(over, post(obeyed(body, first)))]
    replies += [({key}, post(obeyed(body, only(first, key)))) for key in over]
    shares: dict[str, list[float]] = {}
    for changed, again in replies:
        assert not exceeded(again) & changed
        for check in again["limits"]:
            if check["key"] in changed:
                shares.setdefault(check["key"], []).append(
                    check["bar_pct"] if check["bar_pct"] is not None else check["portion_pct"])
    for check in first["limits"]:
        if check["key"] in over:
            assert max(shares[check["key"]]) >= check["limit_pct"] * 0.997, "needlessly low"
