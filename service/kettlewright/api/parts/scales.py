"""Steps of the scales."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from kettlewright import limits
from kettlewright.api.door.fields import Mass
from kettlewright.api.door.strict import Strict
from kettlewright.api.links import Key
from kettlewright.recipe import Scale
from kettlewright.units import OPTIONS, current_units

__all__ = ["SCALE_KEY", "ScaleSteps", "scale_of"]

_STEPS: Mapping[str, tuple[float, float, float]] = MappingProxyType({
    # in the mass unit: fats, water and portions; dry alkali and stock; acids, additions and dusting
    "g": (1.0, 0.1, 0.1), "kg": (0.001, 0.0001, 0.0001), "oz": (0.05, 0.01, 0.01), "lb": (0.005, 0.001, 0.001)})


def scale_of(**given: float) -> Scale:
    """The scales of a request, with the steps usual for its mass unit where none is given (`given`: steps [g])."""
    unit = current_units.get().mass
    factor = OPTIONS["mass"][unit][0]
    names = ("readability_g", "alkali_readability_g", "dose_readability_g")
    usual = {name: step * factor for name, step in zip(names, _STEPS[unit], strict=True)}
    return Scale(**{**usual, **given})


class ScaleSteps(Strict):
    """The smallest steps the scales show; if not given, those usual for the mass unit."""

    builds = scale_of

    readability_g = Mass(bounds=limits.READABILITY, about="Step for fats, water and portions", example=1)
    alkali_readability_g = Mass(bounds=limits.READABILITY, about="Step for dry alkali and stock", example=0.1)
    dose_readability_g = Mass(bounds=limits.READABILITY, about="Step for acids, additions and powders", example=0.1)


SCALE_KEY = Key(name="scale", into=("scale",), example="readability:1,alkali_readability:0.1", about="Steps of the "
                "scales")
