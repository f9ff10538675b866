"""Pictures read back from the file: areas, cells, words, and hostile names in them."""

from __future__ import annotations

import itertools
import math
import xml.etree.ElementTree as ElementTree
from typing import Any

import pytest
from flask.testing import FlaskClient
from kettlewright.app import create_app
from kettlewright.pour import SHAPES
from shapely import Polygon

SVG = "{http://www.w3.org/2000/svg}"
RECIPE = {"fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}], "superfat_pct": 5,
          "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}}
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


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


def drawn(client: FlaskClient, path: str, body: dict[str, Any]) -> ElementTree.Element:
    reply = client.post(f"{path}?format=svg", json=body)
    assert reply.status_code == 200, reply.text
    assert reply.mimetype == "image/svg+xml"
    assert "<script" not in reply.text
    assert " style=" not in reply.text
    return ElementTree.fromstring(reply.text)


def outlines(svg: ElementTree.Element, kind: str) -> list[Polygon]:
    found = []
    for element in svg.iter():
        if element.get("class") != kind:
            continue
        if element.tag == f"{SVG}rect":
            x, y, w, h = (float(element.attrib[name]) for name in ("x", "y", "width", "height"))
            found.append(Polygon([(x, y), (x + w, y), (x + w, y + h), (x, y + h)]))
        else:
            numbers = [float(word) for word in element.attrib["d"].replace("M", " ").replace("L", " ").replace(
                "Z", " ").split()]
            found.append(Polygon(list(zip(numbers[::2], numbers[1::2], strict=True))))
    return found


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


CUT = {"block": {"length": 400, "width": 320, "height": 60}, "loaf": {"width": 75}, "bar": {"thickness": 25}, "kerf": 1,
       "trim": {"start": 4, "end": 5}}


def test_the_cut_plan_is_to_scale_and_numbered(client: FlaskClient) -> None:
    svg = drawn(client, "/v1/cuts", CUT)
    (block,), bars = outlines(svg, "block"), outlines(svg, "bar")
    scale = (block.bounds[2] - block.bounds[0]) / 400
    assert (block.bounds[3] - block.bounds[1]) / scale == pytest.approx(320)
    assert len(bars) == 60
    assert bars[0].bounds[0] - block.bounds[0] == pytest.approx(4 * scale)
    for bar in bars:
        assert bar.area / scale ** 2 == pytest.approx(25 * 75, rel=1e-6)
        assert block.buffer(1e-6).contains(bar)
    texts = [element.text for element in svg.iter(f"{SVG}text")]
    assert texts.count("15") == 4
    assert "60 bars 25.0 mm thick, 75.0 mm long; 4 loaves" in " ".join(text or "" for text in texts)


def test_a_plan_of_many_thin_bars_numbers_every_fifth(client: FlaskClient) -> None:
    svg = drawn(client, "/v1/cuts", {"block": {"length": 1000, "width": 80, "height": 60}, "bar": {"thickness": 12}})
    numbers = [element.text for element in svg.iter(f"{SVG}text") if (element.text or "").isdigit()]
    assert numbers == [str(number) for number in range(5, 84, 5)]


def test_the_first_bar_of_each_loaf_says_the_loaf_where_there_is_room(client: FlaskClient) -> None:
    svg = drawn(client, "/v1/cuts", {"block": CUT["block"], "loaf": {"width": 80}, "bar": {"thickness": 40}})
    texts = [element.text for element in svg.iter(f"{SVG}text")]
    assert texts[:40] == [f"{loaf}.1" if bar == 1 else str(bar) for loaf in range(1, 5) for bar in range(1, 11)]


def test_loaves_too_narrow_for_a_number_bear_none(client: FlaskClient) -> None:
    svg = drawn(client, "/v1/cuts", {"block": CUT["block"], "loaf": {"width": 10}, "bar": {"thickness": 40}})
    assert len(outlines(svg, "bar")) == 320
    assert not [element.text for element in svg.iter(f"{SVG}text") if (element.text or "").replace(".", "").isdigit()]


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


def test_a_round_piece_is_drawn_round(client: FlaskClient) -> None:
    body = {"recipe": RECIPE, "mould": {"shape": "cylinder", "diameter": 75, "depth": 200},
            "cut": {"bar": {"thickness": 25}}}
    sheet = client.post("/v1/batches?format=html", json=body).text
    assert "rounds 25.0 mm thick, 75.0 mm across" in sheet
    (path,) = [part.split('"')[0] for part in sheet.split('class="face" d="')[1:]]
    numbers = [float(word) for word in path.replace("M", " ").replace("L", " ").replace("Z", " ").split()]
    face = Polygon(list(zip(numbers[::2], numbers[1::2], strict=True)))
    # a circle holds pi/4 of the square around it
    left, top, right, low = face.bounds
    assert face.area / (right - left) / (low - top) == pytest.approx(math.pi / 4, rel=2e-3)


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
