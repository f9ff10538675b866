"""Shares of the fats at hand that meet given constraints, by linear program; or which constraint is infeasible."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from kettlewright.errors import DomainError, Missing, Path, UnknownIngredient, gather
from kettlewright.ranges import Range
from kettlewright.recipe.blend_constraints import GROUPS, FatAtHand, Objective, PropertyLimits
from kettlewright.recipe.blend_data import BlendFat, blend_fat, coefficients_of, in_group, unknown_property
from kettlewright.recipe.blend_program import NEGLIGIBLE, BlendConstraint, infeasible, solve
from kettlewright.recipe.fats import FatPortion
from kettlewright.reference import fatty_acid_constants

__all__ = ["Blend", "BlendShare", "blend_fats"]


@dataclass(frozen=True, slots=True)
class BlendShare:
    """A fat in the blend.

    Parameters
    ----------
    fat : FatPortion
        The fat. [fat]
    key, name : str
        Its key and name. [text]
    share_pct : float
        Of the blend. [% of fats]
    place : Path
        Its place in the request: among the fats at hand, or in the recipe. [path]
    """

    fat: FatPortion
    key: str
    name: str
    share_pct: float
    place: Path


@dataclass(frozen=True, slots=True)
class Blend:
    """A blend that meets the constraints.

    Parameters
    ----------
    shares : tuple of BlendShare
        Fats with a share above 0, in the order of the request. [% of fats]
    saponification_value : Range
        Of the blend. [mg KOH per g fat]
    iodine_value : float, optional
        At the middle of each range; None if any is unknown. [g iodine per 100 g]
    fatty_acids : mapping of str to float, optional
        In chain order, at the middle of each range; None if any is unknown. [% of fatty acids]
    groups : mapping of str to float, optional
        The same, in groups. [% of fatty acids]
    price_per_g : Decimal, optional
        Of the blend, if every fat in it has a price. [currency per g]
    distance_pct : float, optional
        For "closest" and "replace": half the sum of the differences in fatty acids. [% of fatty acids]
    """

    shares: tuple[BlendShare, ...]
    saponification_value: Range
    iodine_value: float | None
    fatty_acids: Mapping[str, float] | None
    groups: Mapping[str, float] | None
    price_per_g: Decimal | None
    distance_pct: float | None


@dataclass(frozen=True, slots=True)
class _Option:
    """A fat that the blend may contain, and its place in the request."""

    hand: FatAtHand
    place: Path


def blend_fats(at_hand: Sequence[FatAtHand], constraints: Sequence[PropertyLimits], objective: Objective, *,
               reference: Sequence[FatPortion] = (), fats_g: float | None = None) -> Blend:
    """The optimal blend of the fats at hand.

    Parameters
    ----------
    at_hand : sequence of FatAtHand, length n >= 1
        The fats that the blend may contain. [% of fats]
    constraints : sequence of PropertyLimits
        The constraints on its properties. [units of the property]
    objective : Objective
        The objective. [key]
    reference : sequence of FatPortion
        For "closest" and "replace": the recipe's fats, by mass or by share. [fats]
    fats_g : float, optional
        Mass of all fats; needed if stock is limited. [g]

    Returns
    -------
    Blend : [% of fats]

    Raises
    ------
    DomainErrors, DomainError : a constraint on an unknown property of a fat, stock without a size, a missing price, an
        unknown fat; infeasible constraints, with the smallest relaxation that makes them feasible.

    Notes
    -----
    A linear program in the shares. Saponification value, iodine value and fatty acids of a blend are means by mass,
    with each fat at the middle of its range. "closest" minimises half the sum of absolute differences in fatty acids.
    "replace" keeps every other fat of the reference at its share, whether or not it is at hand.

    References
    ----------
    .. [1] HiGHS, through scipy.optimize.linprog.
    """
    options = [_Option(option, ("fats", index)) for index, option in enumerate(at_hand)]
    kept: dict[str, float] = {}
    if objective.kind == "replace":
        options, kept = _replacing(options, reference, objective.fat or "")
    made = [blend_fat(option.hand.fat) for option in options]
    rows = [*_kept(kept, made), *_bounds(options, made, fats_g)]
    with gather() as checks:
        for index, constraint in enumerate(constraints):
            with checks.at("wishes", index):
                rows.append(BlendConstraint(coefficients_of(constraint, made),
                                 -math.inf if constraint.min is None else constraint.min,
                                 math.inf if constraint.max is None else constraint.max,
                                 ("wishes", index), constraint.name, constraint.unit))
    with gather() as checks, checks.at("objective"):
        cost, target = _cost(objective, options, made, reference)
    shares = solve(cost, rows, target, made)
    if shares is None:
        raise infeasible(rows, len(options))
    shares = np.where(shares < NEGLIGIBLE, 0.0, shares)
    shares = 100 * shares / shares.sum()
    return _blend_of(options, made, shares, target)


def _replacing(options: list[_Option], reference: Sequence[FatPortion],
               replaced: str) -> tuple[list[_Option], dict[str, float]]:
    """The fats that the blend may contain, and the shares of the reference that it keeps. [% of fats]"""
    keys = [portion.key for portion in reference]
    if replaced not in keys:
        raise UnknownIngredient(f'The recipe has no "{replaced}" to replace; it has {", ".join(keys)}.' if keys else
                                f'There is no "{replaced}" to replace: give the "recipe" that contains it.',
                                field=("objective", "fat"), value=replaced)
    total = math.fsum(_amount(portion) for portion in reference)
    kept = {key: 100 * math.fsum(_amount(portion) for portion in reference if portion.key == key) / total
            for key in dict.fromkeys(keys) if key != replaced}
    may = [option for option in options if option.hand.fat.key != replaced]
    if all(option.hand.fat.key in kept for option in may):
        raise Missing(f'Give at least one fat at hand to replace "{replaced}"; the other fats of the '
                      "recipe keep their shares.", field=("fats",))
    known = {option.hand.fat.key for option in may}
    first = {portion.key: (index, portion) for index, portion in reversed(tuple(enumerate(reference)))}
    may += [_Option(FatAtHand(fat=portion), ("recipe", "fats", index))
            for index, portion in sorted(first.values(), key=lambda pair: pair[0])
            if portion.key in kept and portion.key not in known]
    return may, kept


def _kept(kept: Mapping[str, float], made: Sequence[BlendFat]) -> list[BlendConstraint]:
    return [BlendConstraint(np.array([float(one.key == key) for one in made]), share, share, ("objective",),
                 next(one.name for one in made if one.key == key), " %") for key, share in kept.items()]


def _amount(portion: FatPortion) -> float:
    return portion.mass_g if portion.mass_g is not None else portion.share_pct or 0.0


def _bounds(options: Sequence[_Option], made: Sequence[BlendFat], fats_g: float | None) -> list[BlendConstraint]:
    rows = []
    for index, (option, known) in enumerate(zip(options, made, strict=True)):
        hand, place = option.hand, option.place
        one = np.zeros(len(options))
        one[index] = 1.0

        def row(low: float, high: float, field: str, one: np.ndarray = one, place: Path = place,
                name: str = known.name) -> BlendConstraint:
            return BlendConstraint(one, low, high, (*place, field), name, " %")

        if hand.exactly_pct is not None:
            rows.append(row(hand.exactly_pct, hand.exactly_pct, "exactly_pct"))
        if hand.at_least_pct is not None:
            rows.append(row(hand.at_least_pct, math.inf, "at_least_pct"))
        if hand.at_most_pct is not None:
            rows.append(row(-math.inf, hand.at_most_pct, "at_most_pct"))
        if hand.stock_g is not None:
            if fats_g is None:
                raise DomainError('The stock of a fat limits its share only if "fats_mass" is given.',
                                  field=(*place, "stock"))
            rows.append(row(-math.inf, 100 * hand.stock_g / fats_g, "stock"))
    return rows


def _cost(objective: Objective, options: Sequence[_Option], made: Sequence[BlendFat],
          reference: Sequence[FatPortion]) -> tuple[np.ndarray, dict[str, float] | None]:
    """Cost of one percent of each fat; for "closest" the target fatty acids."""
    if objective.kind == "cheapest":
        missing = [one.name for one, option in zip(made, options, strict=True) if option.hand.price_per_g is None]
        if missing:
            raise Missing(f"The cheapest blend needs a price for every fat; missing for {', '.join(missing)}.",
                          field=("kind",))
        return np.array([float(option.hand.price_per_g or 0) for option in options]), None
    if objective.kind in ("least", "most"):
        if objective.fat not in [one.key for one in made]:
            raise UnknownIngredient(f'"{objective.fat}" is not among the fats at hand.',
                                    field=("fat",), value=objective.fat)
        sign = 1.0 if objective.kind == "least" else -1.0
        return np.array([sign * (one.key == objective.fat) for one in made]), None
    if not reference:
        raise Missing(f'"{objective.kind}" needs a "recipe" to approximate.', field=("kind",))
    total = math.fsum(_amount(portion) for portion in reference)
    target: dict[str, float] = {}
    for portion in reference:
        acids = blend_fat(portion).acids
        if acids is None:
            raise unknown_property("fatty acids", blend_fat(portion), "kind")
        for notation, share in acids.items():
            target[notation] = target.get(notation, 0.0) + share * _amount(portion) / total
    for one in made:
        if one.acids is None:
            raise unknown_property("fatty acids", one, "kind")
    return np.zeros(len(made)), target


def _blend_of(options: Sequence[_Option], made: Sequence[BlendFat], shares: np.ndarray,
              target: Mapping[str, float] | None) -> Blend:
    part = [float(share) / 100 for share in shares]
    inside = [index for index, share in enumerate(part) if share > 0]
    value = Range(math.fsum(part[i] * made[i].value.min for i in inside),
                  math.fsum(part[i] * made[i].value.max for i in inside))
    iodine = None
    if all(made[i].iodine is not None for i in inside):
        iodine = math.fsum(part[i] * (made[i].iodine or 0.0) for i in inside)
    acids = groups = distance = None
    if all(made[i].acids is not None for i in inside):
        acids = {notation: math.fsum(part[i] * (made[i].acids or {}).get(notation, 0.0) for i in inside)
                 for notation in fatty_acid_constants()}
        acids = {notation: share for notation, share in acids.items() if share > 0}
        groups = {group: math.fsum(share for notation, share in acids.items() if in_group(group, notation))
                  for group in GROUPS}
        if target is not None:
            distance = math.fsum(abs(acids.get(notation, 0.0) - target.get(notation, 0.0))
                                 for notation in {*acids, *target}) / 2
    price = None
    if all(options[i].hand.price_per_g is not None for i in inside):
        price = sum(((options[i].hand.price_per_g or Decimal(0)) * Decimal(repr(part[i])) for i in inside), Decimal(0))
    return Blend(tuple(BlendShare(options[i].hand.fat, made[i].key, made[i].name, 100 * part[i], options[i].place)
                       for i in inside), value,
                 iodine, acids, groups, price, distance)
