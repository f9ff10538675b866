"""Cut plans: to scale, numbered where there is room."""

from __future__ import annotations

import math

import pytest
from flask.testing import FlaskClient
from shapely import Polygon
from views.on_paper import RECIPE, SVG, drawn, outlines

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
