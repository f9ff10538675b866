"""The page of a batch as it was made."""

from __future__ import annotations

import pytest
from actuals.made_batches import CLIENT, PLAN, WHO, body_of, page, reply


def test_the_page_shows_each_weighing_with_its_lot_and_a_place_to_sign() -> None:
    body = body_of(factors={"olive": 1.1})
    found, text = reply(body), page(body)
    for row in found["difference"]:
        assert row["name"] in text
        assert f"{row['planned']:.{1 if row['step'] < 1 else 0}f}" in text
    for words in ("O-3", "A. Example", "B. Example", "9 g of NaOH too much.", "KD-27-03", found["record"]["identity"],
                  found["identity"], "Name and signature", "Released for sale, or rejected", "ISO 22716",
                  "Its text was not at hand", "Linalool"):
        assert words in text, words
    assert text.count("Difference") == 1


def test_title_and_maker_of_the_plan_are_on_it_and_markup_in_them_is_text() -> None:
    plan = PLAN | {"title": "Kiln <b>Dusk</b>", "maker": "C. Example"}
    body = body_of(plan) | {"record": {}}
    got = CLIENT.post("/v1/batches/actuals?format=html", json=body)
    assert "Kiln &lt;b&gt;Dusk&lt;/b&gt;" in got.text
    assert "C. Example" in got.text
    identity = reply(body)["record"]["identity"]
    assert identity in got.headers.get("Content-Disposition", identity)
    assert identity == reply(body_of() | {"record": {}})["record"]["identity"]  # no figure depends on a title


@pytest.mark.parametrize("name", ["made_by", "checked_by"])
def test_markup_in_a_name_is_text(name: str) -> None:
    text = page(body_of() | {"record": WHO | {name: "<script>alert(1)</script> & co"}})
    assert "<script" not in text
    assert "&lt;script&gt;alert(1)&lt;/script&gt; &amp; co" in text


def test_the_same_record_is_the_same_page() -> None:
    assert page(body_of()) == page(body_of())
    assert page(body_of()).startswith("<!doctype html>")
    assert "<script" not in page(body_of())


def test_in_ounces_the_page_has_ounces() -> None:
    ounces = PLAN | {"units": {"mass": "oz", "dose": "oz", "length": "in"},
                     "mould": {"shape": "box", "length": 10, "width": 3, "depth": 3, "headspace": 0.2},
                     "cut": {"bar": {"thickness": 1}, "kerf": 0.04}}
    text = page(body_of(ounces))
    assert "<td>oz</td>" in text
    assert "<td>g</td>" not in text


def test_in_german_nothing_stays_english() -> None:
    text = page(body_of() | {"locale": "de"})
    assert '<html lang="de">' in text
    for words in ("Herstellprotokoll", "Chargennummer", "Name und Unterschrift", "Abweichung", "ISO 22716"):
        assert words in text, words
    for words in ("Planned", "Weighed", "Superfat", "signature", "Record of"):
        assert words not in text, words
