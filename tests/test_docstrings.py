"""Every public function and class of the maths says what it takes, in which unit, and where its numbers are from."""

from __future__ import annotations

import dataclasses
import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator
from typing import Any

import kettlewright
import pytest

ROOMS = ("errors", "limits", "settling", "least", "ranges", "names", "digits", "money", "prices", "said", "languages",
         "reference", "recipe", "pour", "release", "weigh_list", "cautions", "plan", "actuals", "views", "report")


def _modules() -> Iterator[Any]:
    for room in ROOMS:
        module = importlib.import_module(f"kettlewright.{room}")
        yield module
        if hasattr(module, "__path__"):
            for found in pkgutil.walk_packages(module.__path__, f"{module.__name__}."):
                yield importlib.import_module(found.name)


def _public() -> Iterator[tuple[str, Any]]:
    seen = set()
    for module in _modules():
        for name in module.__all__:
            thing = getattr(module, name)
            if (inspect.isfunction(thing) or inspect.isclass(thing)) and thing not in seen:
                seen.add(thing)
                yield f"{thing.__module__}.{name}", thing


PUBLIC = list(_public())


def _arguments(thing: Any) -> list[str]:
    if dataclasses.is_dataclass(thing):
        return [entry.name for entry in dataclasses.fields(thing) if not entry.name.startswith("_")]
    if inspect.isfunction(thing):
        return [name for name in inspect.signature(thing).parameters if not name.startswith("_")]
    return []


def test_there_is_something_to_read() -> None:
    assert len(PUBLIC) > 90


@pytest.mark.parametrize(("name", "thing"), PUBLIC, ids=[name for name, _ in PUBLIC])
def test_every_argument_has_its_unit(name: str, thing: Any) -> None:
    doc = inspect.getdoc(thing)
    assert doc, name
    for argument in _arguments(thing):
        assert re.search(rf"\b{re.escape(argument)}\b", doc), f"{name} does not name {argument}"
    if _arguments(thing):
        assert re.search(r"\[[^\]]+\]", doc), f"{name} names no unit"


@pytest.mark.parametrize("module", list(_modules()), ids=lambda module: module.__name__)
def test_every_public_name_exists(module: Any) -> None:
    assert module.__doc__
    assert sorted(module.__all__) == sorted(set(module.__all__))
    for name in module.__all__:
        assert hasattr(module, name)


def test_what_rests_on_a_source_names_it() -> None:
    from kettlewright.money import coin_digits
    from kettlewright.pour import batter_of
    from kettlewright.pour.weighed_additions import largest_within_limit
    from kettlewright.recipe import certificates, heat, lye, lye_solution, meeting, soap, superfat
    from kettlewright.reference import check_cas, water_density
    from kettlewright.release import batch_dates, choose_purchases, cure, fit_drying, make_schedule
    from kettlewright.release.label import allergens_found, ingredient_list, markets, net_quantity
    for thing in (lye.make_lye, lye_solution.naoh_solution_density, lye_solution.koh_solution_density,
                  heat.peak_temperature, heat.naoh_boiling_temperature, heat.naoh_heat, heat.lye_heat_capacity,
                  meeting.batter_temperature, certificates.saponification_value_of, soap.soap_made,
                  superfat.superfat, water_density, batter_of, largest_within_limit, check_cas,
                  ingredient_list.ingredient_list, allergens_found.allergens_in, allergens_found.choose_list,
                  net_quantity.tolerance_for, net_quantity.printed_quantity, markets.soap_or_cosmetic, coin_digits,
                  choose_purchases, fit_drying, batch_dates, cure, make_schedule):
        doc = inspect.getdoc(thing)
        assert doc is not None
        assert "References\n----------\n.. [1]" in doc, thing


def test_the_package_names_its_version() -> None:
    assert re.fullmatch(r"\d+\.\d+\.\d+", kettlewright.__version__)
