"""Misspelt names: found before anything is sent, with the nearest name."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from client.both import Ask, ask
from client.misbehaving import says, server
from kettlewright_client import InvalidInput
from kettlewright_client.keywords import nearest
from kettlewright_client.testing import recorded

__all__ = ["ask"]  # a fixture
BATCH: Any = recorded()["batches"].body
LYE: Any = recorded()["lye"].body


@pytest.mark.parametrize(("call", "pointer", "like"), [
    (lambda client: client.lye(**LYE, supefat_pct=5), "/supefat_pct", "superfat_pct"),
    (lambda client: client.lye(**{**LYE, "fats": [{"fat": "olive", "mas": 1}]}), "/fats/0/mas", "mass"),
    (lambda client: client.batches(**{**BATCH, "mould": {"shape": "box", "lenght": 1}}), "/mould/lenght", "length"),
    (lambda client: client.batches(**{**BATCH, "recipe": {**BATCH["recipe"], "sperfat_pct": 1}}),
     "/recipe/sperfat_pct", "superfat_pct"),
    (lambda client: client.form("batches", "html", {**BATCH, "recip": {}}), "/recip", "recipe"),
    (lambda client: client.picture("batches", **BATCH, additons=[]), "/additons", "additions"),
    (lambda client: client.fats(serch="olive"), "/serch", "search"),
    (lambda client: client.cut_face(**BATCH, prises={}), "/prises", "prices")])
def test_a_misspelt_name_is_not_sent_and_the_nearest_is_named(ask: Ask, call: Callable[[Any], Any], pointer: str,
                                                              like: str) -> None:
    with server(says(b"")) as unused, pytest.raises(InvalidInput) as caught:
        ask(unused.url, call)
    assert unused.connections == 0
    assert [(one.pointer, one.code, one.allowed) for one in caught.value.errors] == [(pointer, "unknown_field", like)]
    assert f'did you mean "{like}"?' in str(caught.value)
    assert "was not sent" in str(caught.value)


def test_all_misspelt_names_are_reported_at_once(ask: Ask) -> None:
    with pytest.raises(InvalidInput, match="1 more below") as caught:
        ask("http://127.0.0.1:9", lambda client: client.form("lye", "json", {**LYE, "a": 1, "water": {"zz": 1}}))
    assert {one.pointer for one in caught.value.errors} == {"/a", "/water/zz"}
    assert "did you mean" not in str(caught.value)


def test_the_nearest_name_is_like_it_or_there_is_none() -> None:
    assert nearest("supefat_pct", ["superfat_pct", "superfat_at_least_pct"]) == "superfat_pct"
    assert nearest("xyz", ["superfat_pct"]) == ""
