"""The QR code on the sheet: read back by another library, its modules large enough in print."""

from __future__ import annotations

import random
import re
import xml.etree.ElementTree as ElementTree
from typing import Any

import numpy as np
import pytest
import segno
import zxingcpp
from kettlewright.app import create_app
from kettlewright.views.identity_code import identity_code

SPACE = "{http://www.w3.org/2000/svg}"
BODY: dict[str, Any] = {
    "recipe": {"fats": [{"fat": "olive", "share_pct": 100}], "superfat_pct": 5, "alkalis": [{"alkali": "NaOH"}],
               "water": {"water_to_alkali": 2}}, "mould": {"shape": "box", "length": 250, "width": 80, "depth": 70}}


def pixels(svg: str, *, each: int = 6) -> np.ndarray[Any, np.dtype[np.uint8]]:
    """The code as a picture: rows of modules drawn as strokes, one pixel row each, then enlarged."""
    root = ElementTree.fromstring(svg)
    scale = float(re.search(r"scale\(([\d.]+)\)", root.find(f"{SPACE}path").attrib["transform"])[1])
    side = round(float(root.attrib["viewBox"].split()[2]) / scale)
    found = np.full((side, side), 255, dtype=np.uint8)
    x = y = 0.0
    for letter, numbers in re.findall(r"([Mmh])([-\d. ]+)", root.find(f"{SPACE}path").attrib["d"]):
        parts = [float(number) for number in numbers.split()]
        if letter == "M":
            x, y = parts
        elif letter == "m":
            x, y = x + parts[0], y + parts[1]
        else:
            found[int(y), int(x):int(x + parts[0])] = 0
            x += parts[0]
    return np.kron(found, np.ones((each, each), dtype=np.uint8))


@pytest.mark.parametrize(("number", "text"), [
    ("N-7", "KETTLEWRIGHT {} N-7"), ("Märzguss 3", "KETTLEWRIGHT {} Märzguss 3"), (None, "KETTLEWRIGHT {}"),
    ("x" * 41, "KETTLEWRIGHT {}")])
def test_the_code_on_the_sheet_says_which_plan_and_batch_it_is(number: str | None, text: str) -> None:
    client = create_app().test_client()
    body = BODY if number is None else {**BODY, "batch_number": number}
    page = client.post("/v1/batches?format=html", json=body).text
    identity = client.post("/v1/batches", json=body).json["identity"]
    svg = re.search(r'<svg[^>]*class="qr".*?</svg>', page, re.DOTALL)
    assert svg is not None
    drawn = svg[0] if "xmlns" in svg[0] else svg[0].replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1)
    read = zxingcpp.read_barcodes(pixels(drawn))
    assert [one.text for one in read] == [text.format(identity)]
    assert identity in page


@pytest.mark.parametrize("number", ["", "N-7", "x" * 40])
def test_modules_are_wide_enough_for_a_telephone_and_a_wet_sheet(number: str) -> None:
    root = ElementTree.fromstring(identity_code({"identity": "7KQ4D-X2M9F", "batch_number": number}))
    path = next(root.iter("path"), None)
    if path is None:
        path = next(root.iter(f"{SPACE}path"))
    wide = float(root.attrib["width"].removesuffix("mm")) / float(root.attrib["viewBox"].split()[2])
    module_mm = wide * float(re.search(r"scale\(([\d.]+)\)", path.attrib["transform"])[1])
    assert module_mm >= 0.5
    assert float(root.attrib["width"].removesuffix("mm")) <= 30


@pytest.mark.parametrize("number", [None, "N-7", "Märzguss 3", "<b> & 'c'", "日本", "7", "x" * 40])
def test_the_code_is_drawn_as_segno_draws_it(number: str | None) -> None:
    draw = random.Random(8)
    for _ in range(40):
        letters = "".join(draw.choices("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ", k=10))
        identity = f"{letters[:5]}-{letters[5:]}"
        text = f"KETTLEWRIGHT {identity}" + (f" {number}" if number else "")
        drawn = segno.make(text, error="m", micro=False, mask=4).svg_inline(
            scale=0.6, unit="mm", svgclass="qr", lineclass=None, title=text)
        assert identity_code({"identity": identity, "batch_number": number}) == drawn
