"""Pictures of moulds: every shape to scale, layers, columns, cavities, faces."""

from __future__ import annotations

import itertools
import math
from typing import Any

import pytest
from flask.testing import FlaskClient
from kettlewright.pour import SHAPES
from shapely import Polygon
from views.on_paper import DEMO, RECIPE, SVG, bodies, drawn, outlines, picture_of

PORTIONS = [{"name": "deep", "share_pct": 40, "colour": "#7d2f22", "dusting": {"name": "kaolin", "coverage": 50}},
            {"name": "middle", "share_pct": 35}, {"name": "pale", "share_pct": 25}]
MOULDS = [
    {"shape": "box", "length": 250, "width": 80, "depth": 70, "headspace": 5},
    {"shape": "tapered_box", "length": 220, "width": 95, "base_length": 200, "base_width": 70, "depth": 70},
    {"shape": "trough", "length": 250, "width": 100, "base_width": 60, "depth": 80},
    {"shape": "half_round", "length": 300, "diameter": 80}, {"shape": "cylinder", "diameter": 75, "depth": 100},
    {"shape": "elliptic_cylinder", "diameter": 90, "short_diameter": 60, "depth": 100},
    {"shape": "cone_frustum", "diameter": 80, "base_diameter": 55, "depth": 50},
    {"shape": "lying_cylinder", "diameter": 80, "length": 300, "headspace": 6},
    {"shape": "bowl", "diameter": 70, "depth": 35, "count": 6}, {"shape": "prism", "sides": 6, "side": 32, "depth": 90},
    {"shape": "measured", "volume": 900, "depth": 60}]


def section_area(mould: dict[str, Any], height: float) -> float:
    """Area of the section below a height, by the formulas of plane geometry. [mm2]"""
    wide = mould.get("width", mould.get("diameter", 0))
    if mould["shape"] in ("box", "cylinder", "elliptic_cylinder"):
        return float(wide * height)
    if mould["shape"] == "prism":
        return float(mould["side"] / math.tan(math.pi / mould["sides"]) * height)
    if mould["shape"] in ("tapered_box", "trough", "cone_frustum"):
        base = mould.get("base_width", mould.get("base_diameter"))
        return float(height * (base + (wide - base) * height / mould["depth"] / 2))
    radius = wide / 2  # half round, lying cylinder, and this bowl, which is half a sphere
    return float(radius ** 2 * math.acos((radius - height) / radius)
                 - (radius - height) * math.sqrt(2 * radius * height - height ** 2))


def test_no_shape_is_left_out() -> None:
    assert {mould["shape"] for mould in MOULDS} == set(SHAPES)


@pytest.mark.parametrize("mould", MOULDS, ids=lambda mould: mould["shape"])
def test_areas_of_the_layers_are_those_computed(client: FlaskClient, mould: dict[str, Any]) -> None:
    body = {"recipe": RECIPE, "mould": mould, "portions": PORTIONS}
    plan = client.post("/v1/batches", json=body).json
    assert plan is not None
    shapes = outlines(drawn(client, "/v1/batches", body), "body")
    assert len(shapes) == 3
    heights = [(portion["layer"]["bottom"], portion["layer"]["top"]) for portion in plan["portions"]]
    scale = (shapes[0].bounds[3] - shapes[0].bounds[1]) / (heights[0][1] - heights[0][0])
    for shape, (bottom, top) in zip(shapes, heights, strict=True):
        assert (shape.bounds[3] - shape.bounds[1]) / scale == pytest.approx(top - bottom, rel=1e-6)
        if mould["shape"] != "measured":
            area = section_area(mould, top) - section_area(mould, bottom)
            # a round wall is drawn by 48 chords
            assert shape.area / scale ** 2 == pytest.approx(area, rel=2e-3)
    for below, above in itertools.pairwise(shapes):
        assert above.bounds[3] == pytest.approx(below.bounds[1], abs=1e-6)
        assert below.intersection(above).area < 1e-3


@pytest.mark.parametrize("mould", MOULDS, ids=lambda mould: mould["shape"])
def test_every_mould_is_drawn_with_its_fill(client: FlaskClient, mould: dict[str, Any]) -> None:
    svg = drawn(client, "/v1/moulds", {"mould": mould, "fill": {"depth": 20}})
    (fill,), (rim,) = outlines(svg, "body"), outlines(svg, "mould")
    if mould["shape"] == "measured":  # its form is not known, and the picture says so
        assert "width not to scale" in "".join(svg.itertext())
        return
    depth = mould.get("depth", mould.get("diameter", 0) / (2 if mould["shape"] == "half_round" else 1))
    assert (fill.bounds[3] - fill.bounds[1]) / (rim.bounds[3] - rim.bounds[1]) == pytest.approx(20 / depth, rel=1e-6)
    assert rim.buffer(0.01).contains(fill)
    assert not outlines(drawn(client, "/v1/moulds", {"mould": mould}), "body")


def test_columns_share_the_width_of_the_picture(client: FlaskClient) -> None:
    plain = [{**portion, "dusting": None} for portion in PORTIONS]
    portions = [{key: value for key, value in portion.items() if value is not None} for portion in plain]
    svg = drawn(client, "/v1/batches", {"recipe": RECIPE, "mould": MOULDS[0], "portions": portions,
                                        "arrangement": "columns"})
    widths = [shape.bounds[2] - shape.bounds[0] for shape in outlines(svg, "body")]
    assert [width / sum(widths) for width in widths] == [pytest.approx(part, abs=1e-6) for part in (0.40, 0.35, 0.25)]
    text = "".join(svg.itertext())
    assert "upright dividers" in text


def test_cavities_of_their_own_are_drawn_apart(client: FlaskClient) -> None:
    portions = [{"name": "a", "share_pct": 50}, {"name": "b", "share_pct": 30}, {"name": "c", "share_pct": 20}]
    svg = drawn(client, "/v1/batches", {"recipe": RECIPE, "portions": portions, "arrangement": "separate",
                                        "mould": {"shape": "box", "length": 80, "width": 50, "depth": 40, "count": 3}})
    assert len(outlines(svg, "mould")) == 3
    tall = [shape.bounds[3] - shape.bounds[1] for shape in outlines(svg, "body")]
    assert [height / tall[0] for height in tall] == [1, pytest.approx(0.6, abs=2e-3), pytest.approx(0.4, abs=2e-3)]


def test_portions_without_a_mould_are_shares_side_by_side(client: FlaskClient) -> None:
    svg = drawn(client, "/v1/portions", {"batter": {"mass": 1000, "density": 1.0}, "portions": [
        {"name": "a", "share_pct": 75}, {"name": "b", "share_pct": 25}]})
    widths = [shape.bounds[2] - shape.bounds[0] for shape in outlines(svg, "body")]
    assert widths[0] / widths[1] == pytest.approx(3)


@pytest.mark.parametrize(("mould", "title"), [(MOULDS[0], "The cut face"), (MOULDS[4], "The filled mould")])
def test_a_face_is_shown_where_the_block_is_cut_as_it_stood(client: FlaskClient, mould: dict[str, Any],
                                                            title: str) -> None:
    # a round is laid down to be cut: its face shows no layers one above another
    svg = drawn(client, "/v1/batches", {"recipe": RECIPE, "mould": mould, "portions": PORTIONS,
                                        "cut": {"bar": {"thickness": 20}}})
    assert next(svg.iter(f"{SVG}title")).text == title


@pytest.mark.parametrize("name", ["<script>alert(1)</script>", "x" * 200, 'a"b\'c&d', "\u05e9\u05dc\u05d5\u05dd"])
def test_hostile_names_stay_words(client: FlaskClient, name: str) -> None:
    portions = [{"name": name, "share_pct": 100, "dusting": {"name": name, "coverage": 5}}]
    svg = drawn(client, "/v1/batches", {"recipe": RECIPE, "mould": MOULDS[3], "portions": portions})
    assert name in [element.text for element in svg.iter(f"{SVG}title")]


def test_the_sheet_holds_face_and_plan(client: FlaskClient) -> None:
    body = {"recipe": RECIPE, "mould": MOULDS[0], "portions": PORTIONS, "cut": {"bar": {"thickness": 25}}}
    html = client.post("/v1/batches?format=html", json=body).text
    assert html.count("<svg") - html.count('<svg class="swatch"') == 3  # face, plan and the code of the identity
    assert html.count('class="qr"') == 1
    assert html.count('<svg class="swatch"') == 3  # bucket, height mark and picture are in one row
    assert html.index("The cut face") < html.index("The cut plan, from above")


@pytest.mark.parametrize("mould", MOULDS, ids=lambda mould: mould["shape"])
def test_strips_of_mingled_portions_share_the_area_and_stay_in_the_mould(client: FlaskClient,
                                                                        mould: dict[str, Any]) -> None:
    portions = [{"name": "a", "share_pct": 50}, {"name": "b", "share_pct": 30}, {"name": "c", "share_pct": 20}]
    svg = drawn(client, "/v1/batches", {"recipe": RECIPE, "mould": mould, "portions": portions,
                                        "arrangement": "mingled"})
    strips, (rim,) = outlines(svg, "body"), outlines(svg, "mould")
    whole = sum(strip.area for strip in strips)
    assert [strip.area / whole for strip in strips] == [pytest.approx(part, abs=1e-6) for part in (0.5, 0.3, 0.2)]
    for strip in strips:
        assert rim.buffer(0.01).contains(strip)


@pytest.mark.parametrize("mould", MOULDS, ids=lambda mould: mould["shape"])
def test_cavities_of_their_own_have_the_form_of_the_mould(client: FlaskClient, mould: dict[str, Any]) -> None:
    portions = [{"name": "a", "share_pct": 50}, {"name": "b", "share_pct": 50}]
    one = outlines(drawn(client, "/v1/moulds", {"mould": {**mould, "count": 2}}), "mould")[0]
    svg = drawn(client, "/v1/batches", {"recipe": RECIPE, "mould": {**mould, "count": 2}, "portions": portions,
                                        "arrangement": "separate"})
    cavities = outlines(svg, "mould")
    assert len(cavities) == 2
    for cavity in cavities:
        (left, top, right, low), (x, y, far, deep) = cavity.bounds, one.bounds
        if mould["shape"] != "measured":  # its width is not known
            assert (right - left) / (low - top) == pytest.approx((far - x) / (deep - y), rel=1e-6)
            assert cavity.area / (right - left) ** 2 == pytest.approx(one.area / (far - x) ** 2, rel=1e-6)


@pytest.mark.parametrize("arrangement", ["layers", "mingled", "separate"])
@pytest.mark.parametrize("mould", MOULDS, ids=lambda mould: mould["shape"])
def test_the_words_are_below_the_picture_and_its_labels(client: FlaskClient, mould: dict[str, Any],
                                                         arrangement: str) -> None:
    portions = [{"name": name, "share_pct": 25} for name in "abcd"]
    made = {**mould, "depth": 20, "headspace": 0} if mould.get("depth", 0) > 20 else mould
    if arrangement == "separate":
        made = {**made, "count": 4}
    svg = drawn(client, "/v1/batches", {"recipe": RECIPE, "mould": made, "portions": portions,
                                        "arrangement": arrangement})
    texts = [(float(one.get("y", 0)), one.get("font-size"), one.text or "") for one in svg.iter(f"{SVG}text")]
    words = [row for row in texts if row[1] == "12"]
    others = [row for row in texts if row[1] != "12"]
    assert min(y for y, *_ in words) >= max(y for y, *_ in others) + 11
    assert max(y for y, *_ in words) < float(svg.get("viewBox", "").split()[3])
    # 620 units of width at about 6 units a letter
    assert all(len(text) < 95 for _, _, text in words)


@pytest.mark.parametrize("arrangement", ["layers", "mingled", "separate"])
@pytest.mark.parametrize("mould", MOULDS, ids=lambda mould: mould["shape"])
def test_a_view_of_the_picture_shows_the_face_alone_and_whole(
        client: FlaskClient, mould: dict[str, Any], arrangement: str) -> None:
    if arrangement == "separate":
        mould = {**mould, "count": 3}
    portions = [{key: one[key] for key in one if key != "dusting" or arrangement == "layers"} for one in PORTIONS]
    svg = drawn(client, "/v1/batches", {
        "recipe": RECIPE, "mould": mould, "portions": portions, "arrangement": arrangement})
    view = svg.find(f"{SVG}view[@id='face']")
    assert view is not None
    x, y, w, h = (float(word) for word in view.attrib["viewBox"].split())
    shown = Polygon([(x, y), (x + w, y), (x + w, y + h), (x, y + h)])
    drawings = [*outlines(svg, "body"), *outlines(svg, "mould")]
    for outline in drawings:
        assert shown.covers(outline)
    for text in svg.iter(f"{SVG}text"):
        assert not (x < float(text.attrib["x"]) < x + w and y < float(text.attrib["y"]) < y + h)
    assert w < 1.3 * (max(one.bounds[2] for one in drawings) - min(one.bounds[0] for one in drawings))


def test_the_layers_of_the_picture_are_to_scale(client: FlaskClient) -> None:
    plan = client.post("/v1/batches", json=DEMO).json
    assert plan is not None
    drawn = bodies(picture_of(client, DEMO))
    scale = drawn[0]["width"] / plan["cuts"]["bars"]["length"]
    assert len(drawn) == 5
    for rect, portion in zip(drawn, plan["portions"], strict=True):
        assert rect["height"] / scale == pytest.approx(portion["layer"]["top"] - portion["layer"]["bottom"], rel=1e-6)
    for above, below in zip(drawn[1:], drawn, strict=False):
        assert above["y"] + above["height"] == pytest.approx(below["y"], abs=1e-6)


def test_powder_lies_on_one_boundary_only(client: FlaskClient) -> None:
    svg = picture_of(client, DEMO)
    lines = [path for path in svg.iter(f"{SVG}path") if path.get("class") == "powder"]
    assert len(lines) == 1
    plain_layer = bodies(svg)[3]
    assert lines[0].attrib["d"].startswith(f"M{plain_layer['x']} {plain_layer['y']} ")


def test_the_picture_speaks_to_those_who_do_not_see_it(client: FlaskClient) -> None:
    svg = picture_of(client, DEMO)
    assert svg.get("role") == "img"
    described = svg.find(f"{SVG}desc")
    assert described is not None
    assert described.text is not None
    assert "From the bottom: ember, 0.0 to 14.2 mm" in described.text
    assert "dusted with kaolin" in described.text
    assert "92.0 mm wide" in described.text


def test_neighbours_differ_by_hatching_as_well_as_by_colour(client: FlaskClient) -> None:
    fills = [rect.attrib["fill"] for rect in picture_of(client, DEMO).iter(f"{SVG}rect")
             if rect.attrib["fill"].startswith("url") and rect.get("stroke") is None]
    assert len(set(fills)) == 5
