"""Sheets and pictures of a batch, and the outlines read back from them."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ElementTree
from pathlib import Path
from typing import Any

from flask.testing import FlaskClient
from shapely import Polygon

DEMO = json.loads((Path(__file__).parents[2] / "client" / "examples" / "kiln_dusk.json").read_text(encoding="utf-8"))
SVG = "{http://www.w3.org/2000/svg}"
RECIPE = {"fats": [{"fat": "olive", "share_pct": 70}, {"fat": "coconut", "share_pct": 30}], "superfat_pct": 5,
          "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2}}


def sheet(client: FlaskClient, body: dict[str, Any]) -> str:
    reply = client.post("/v1/batches", json=body, headers={"Accept": "text/html"})
    assert reply.status_code == 200, reply.text
    assert reply.mimetype == "text/html"
    return reply.text


def picture_of(client: FlaskClient, body: dict[str, Any]) -> ElementTree.Element:
    reply = client.post("/v1/batches?format=svg", json=body)
    assert reply.mimetype == "image/svg+xml"
    return ElementTree.fromstring(reply.text)


def bodies(svg: ElementTree.Element) -> list[dict[str, float]]:
    return [{key: float(rect.attrib[key]) for key in ("x", "y", "width", "height")}
            for rect in svg.iter(f"{SVG}rect") if rect.get("class") == "body"]


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
