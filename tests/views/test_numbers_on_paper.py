"""Every number a batch sheet shows is a number of the JSON reply, or a rounding of one: the sheet computes nothing.

A number may be in a reply by chance, so the sheet is also made of replies whose figures were all moved, each by its
own part: a number worked out on the way would have to be there by chance each time.
"""

from __future__ import annotations

import html
import math
import random
import re
from collections.abc import Iterator
from typing import Any

import pytest
from api.row_bodies import WHOLE, in_ounces
from flask.testing import FlaskClient
from kettlewright.views.sheet import batch_sheet

NUMBER = re.compile(r"(?<![\w.,])-?\d+(?:\.\d+)*")
GERMAN = re.compile(r"(?<![\w.,])-?\d+(?:,\d+)?")
OF_THE_PAGE = ["(95 %)", "CIEDE2000"]
TIMES = 8


def leaves(value: Any) -> Iterator[Any]:
    if isinstance(value, dict | list):
        for one in value.values() if isinstance(value, dict) else value:
            yield from leaves(one)
    else:
        yield value


def moved(value: Any, dice: random.Random, name: str = "") -> Any:
    """The reply with every figure halved to doubled; counts stay, and so do the steps that say how many decimals."""
    if isinstance(value, dict):
        return {key: moved(one, dice, key) for key, one in value.items()}
    if isinstance(value, list):
        return [moved(one, dice, name) for one in value]
    return value * dice.uniform(0.5, 2) if isinstance(value, float) and name != "step" else value


def shown(page: str, known: list[str], locale: str) -> Iterator[tuple[str, str]]:
    """Numbers on a page and the words around them; what is in the reply as a text is left out."""
    page = re.sub(r"<style>.*?</style>", "", page, flags=re.DOTALL)
    page = re.sub(r'(?<=text-anchor="middle">)\d+(\.\d+)?(?=</text>)', "", page)  # bars of the cut by number
    page = re.sub(r"</svg> \d+\.", "</svg>", page)  # portions by number
    text = " ".join(html.unescape(re.sub(r"<[^>]*>", " ", page)).split())
    for words in known:
        text = text.replace(words, " ... ")
    for found in (GERMAN if locale == "de" else NUMBER).finditer(text):
        yield found.group().replace(",", "."), text[max(found.start() - 50, 0):found.end() + 20]


def is_rounding_of(shown_number: str, value: float) -> bool:
    """To the nearest, or down as percentages of superfat are."""
    unit = 10.0 ** -len(shown_number.partition(".")[2])
    return abs(value - float(shown_number)) <= unit / 2 * (1 + 1e-9) or abs(
        math.floor(value / unit + 1e-9) * unit - float(shown_number)) < unit * 1e-6


def texts_of(client: FlaskClient, reply: dict[str, Any]) -> list[str]:
    """Texts with digits in the reply, its cautions and its sources, the longest first; days as they are written."""
    cautions = client.get(f"/v1/cautions?locale={reply['locale']}").json
    sources = client.get("/v1/sources").json
    texts = {" ".join(one.split()) for one in [*leaves(reply), *leaves(cautions), *leaves(sources)]
             if isinstance(one, str) and re.search(r"\d", one) and not re.fullmatch(r"\d+(\.\d+)?", one)}
    days = {".".join(reversed(one.split("-"))) for one in texts if re.fullmatch(r"\d{4}-\d\d-\d\d", one)}
    return sorted({*texts, *days, *OF_THE_PAGE}, key=len, reverse=True)


def strangers(client: FlaskClient, reply: dict[str, Any], page: str) -> list[tuple[str, str]]:
    figures = [float(one) for one in leaves(reply) if (isinstance(one, int | float) and not isinstance(one, bool))
               or (isinstance(one, str) and re.fullmatch(r"\d+(\.\d+)?", one))]
    return [(shown_number, around) for shown_number, around in shown(page, texts_of(client, reply), reply["locale"])
            if not any(is_rounding_of(shown_number, value) for value in figures)]


@pytest.mark.parametrize("how", ["en", "de", "oz"])
@pytest.mark.parametrize("name", WHOLE)
def test_every_number_on_the_sheet_is_one_of_the_reply(client: FlaskClient, name: str, how: str) -> None:
    body = in_ounces(WHOLE[name]) if how == "oz" else {**WHOLE[name], "locale": how}
    reply = client.post("/v1/batches", json=body).json
    assert reply is not None
    page = client.post("/v1/batches?format=html", json=body).text
    assert len(list(shown(page, [], reply["locale"]))) > 50
    assert strangers(client, reply, page) == []
    dice = random.Random(name)
    for _ in range(TIMES):
        other = moved(reply, dice)
        assert strangers(client, other, batch_sheet(other)) == []


def test_a_number_that_is_worked_out_on_the_way_is_found(client: FlaskClient) -> None:
    """The check itself: a mass of batter that a sheet halves, or a figure of it that was left behind."""
    body = WHOLE["every kind of row"]
    reply = client.post("/v1/batches", json=body).json
    assert reply is not None
    half = {**reply, "vessels": {**reply["vessels"], "pot": reply["vessels"]["pot"] / 2}}
    assert strangers(client, reply, batch_sheet(half))
    dice = random.Random(1)
    assert strangers(client, moved(reply, dice), batch_sheet(reply))
