"""What to weigh for a recipe: fats, alkali, water, acids and liquids; and the batch that results."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from kettlewright import amounts, limits
from kettlewright.copies import replace
from kettlewright.errors import Unsolvable
from kettlewright.recipe.alkali_to_weigh import alkali_to_weigh
from kettlewright.recipe.fats import Fat, known_fat
from kettlewright.recipe.in_pot import InPot, RecipeMasses, fats_in_pot
from kettlewright.recipe.ingredients import Recipe
from kettlewright.recipe.lye_result import Lye, Potful
from kettlewright.recipe.outcome import DEFINITION, lye_of, potful_of
from kettlewright.recipe.weighed import DispersedFat, MassToWeigh
from kettlewright.recipe.weighing import Scale, round_down, round_nearest, round_up
from kettlewright.recipe.workings import SILENT, Book, Formula
from kettlewright.said import EnglishText

__all__ = ["make_lye", "make_lye_for", "make_potful"]

_STRONGEST_LYE = 0.50
_ROUNDS_MAX = 400  # enough for a liquid whose fat needs up to 93 % of the water it brings
_SETTLED = 1e-12
_MISSING_WATER_STEPS = 1e-9

_WATER = {"lye_concentration_pct": Formula("alkali * (1 - c / 100) / (c / 100)"),
          "water_to_alkali": Formula("alkali * ratio"), "water_pct_of_fats": Formula("fats * pct / 100")}
_ADDED = Formula("water - in_stocks - in_acids - in_liquids")
_NEAREST = Formula("nearest_to(mass, step)")
_UP = Formula("up_to(mass, step)")

_TRADE = "water rule, on alkali as weighed (pure, in stocks)"


def make_lye(recipe: Recipe, scale: Scale, *, sized_here: bool = False, dispersed: Sequence[DispersedFat] = (),
             expected_loss_pct: float | None = None, book: Book = SILENT) -> Lye:
    """What to weigh, how far off the superfat can be, and what the batch becomes.

    Parameters
    ----------
    recipe : Recipe
        Fats by mass. [recipe]
    scale : Scale
        Steps of the scales. [g]
    sized_here : bool
        The service chose the size: fats are rounded down to the step, so that they never overfill. [yes or no]
    dispersed : sequence of DispersedFat
        Oil that additions bring into the pot; it counts as fat. [g]
    expected_loss_pct : float, optional
        Loss in cure, for the figures of the cured bar. [% of a bar as cut]
    book : Book
        Records every line of the calculation. [lines]

    Returns
    -------
    Lye : [g and the units of each part]

    Raises
    ------
    Unsolvable : a mass rounds to zero on this scale, a stock is weaker than the requested lye, the lye would be
        stronger than water can dissolve, a liquid as the rest of the water never settles.

    Notes
    -----
    E = sum(m SV) / 56105.6; pure alkali = share ((1 - s) E + n_acid) M; as bought = pure / strength. The alkali follows
    from the weighed fats and acids and is rounded down, so that the superfat is never below the requested one. For a
    superfat kept over the whole range, use the lower end of every fat and weighing, the upper end of the purity, and
    half a step less alkali.

    References
    ----------
    .. [1] Saponification value: mg of pure KOH per g of fat, ISO 3657. From memory.
    .. [2] Molar masses: IUPAC standard atomic weights. Computed.
    """
    fats = [known_fat(portion) for portion in recipe.fats]
    requested = _requested(recipe)
    return _make(recipe, scale, fats, requested, _weighed(requested, fats, scale, sized_here), dispersed,
                 expected_loss_pct, book)


def make_potful(recipe: Recipe, scale: Scale, *, dispersed: Sequence[DispersedFat] = ()) -> Potful:
    """What is in the pot, for its size alone (`recipe`, `scale`, `dispersed`, errors: as for `make_lye`). [g, mL]"""
    fats = [known_fat(portion) for portion in recipe.fats]
    requested = _requested(recipe)
    exact, weighed = _in_pot(recipe, scale, fats, requested, _weighed(requested, fats, scale, False), dispersed, SILENT)
    return potful_of(recipe, fats, exact, weighed)


def _requested(recipe: Recipe) -> RecipeMasses:
    return _recipe_masses(recipe, tuple(portion.mass_g or 0.0 for portion in recipe.fats))


def make_lye_for(recipe: Recipe, scale: Scale, fats_g: Sequence[float], *, fatty_acids_g: Mapping[int, float],
                 dispersed: Sequence[DispersedFat] = (), expected_loss_pct: float | None = None) -> Lye:
    """What to weigh for fats that are already in the pot, whatever the scale's step.

    Parameters
    ----------
    recipe : Recipe
        Fats by mass. [recipe]
    scale : Scale
        Steps of the scales. [g]
    fats_g : sequence of float
        The mass that the scale showed for each fat of the recipe. [g]
    fatty_acids_g : mapping of int to float
        Acids that are in the pot too, by their place in the recipe. [g]
    dispersed : sequence of DispersedFat
        Oil that additions bring into the pot. [g]
    expected_loss_pct : float, optional
        Loss in cure. [% of a bar as cut]

    Returns
    -------
    Lye : alkali rounded down to the step, as in `make_lye`; acids and liquids in percent follow the weighed fats. [g]

    Raises
    ------
    Unsolvable : as for `make_lye`.
    """
    exact = _recipe_masses(recipe, tuple(fats_g))
    acids = tuple(fatty_acids_g.get(index, round_nearest(mass, scale.dose_readability_g))
                  for index, mass in enumerate(exact.acids))
    weighed = RecipeMasses(exact.fats, acids, tuple(round_nearest(mass, scale.readability_g) for mass in exact.liquids))
    return _make(recipe, scale, [known_fat(portion) for portion in recipe.fats], exact, weighed, dispersed,
                 expected_loss_pct, SILENT)


def _recipe_masses(recipe: Recipe, fats_g: tuple[float, ...]) -> RecipeMasses:
    all_fats = math.fsum(fats_g)
    found = RecipeMasses(fats_g, tuple(portion.mass_for(all_fats) for portion in recipe.acids),
                  tuple(portion.mass_for(all_fats) for portion in recipe.liquids))
    if math.fsum(found.acids) > all_fats:
        raise Unsolvable(EnglishText("The acids weigh {acids}, more than the fats ({all_fats}): that would make salts, "
                                     "not soap. Check the unit of the acids (they are on the fine scale).",
                                     acids=amounts.mass(math.fsum(found.acids)), all_fats=amounts.mass(all_fats)),
                         field=("acids",), allowed="less than the fats")
    return found


def _make(recipe: Recipe, scale: Scale, fats: Sequence[Fat], exact_masses: RecipeMasses, weighed_masses: RecipeMasses,
          dispersed: Sequence[DispersedFat], expected_loss_pct: float | None, book: Book) -> Lye:
    exact, weighed = _in_pot(recipe, scale, fats, exact_masses, weighed_masses, dispersed, book)
    return lye_of(recipe, scale, fats=fats, exact=exact, weighed=weighed, dispersed=dispersed,
                  ice=_ice(recipe, exact, weighed, scale), expected_loss_pct=expected_loss_pct, book=book)


def _in_pot(recipe: Recipe, scale: Scale, fats: Sequence[Fat], exact_masses: RecipeMasses,
            weighed_masses: RecipeMasses, dispersed: Sequence[DispersedFat], book: Book) -> tuple[InPot, InPot]:
    """All masses, exact and as weighed."""
    rest = next((index for index, one in enumerate(recipe.liquids) if one.rest_of_water), None)
    if rest is not None:
        exact_masses = _with_rest(recipe, fats, exact_masses, [one.exactly for one in dispersed], None, rest)
        weighed_masses = _with_rest(recipe, fats, weighed_masses, dispersed, scale, rest)
    before = Book() if book.lines is not None and exact_masses != weighed_masses else SILENT
    exact = _batch(recipe, fats, exact_masses, [one.exactly for one in dispersed], None, before)
    if book.lines is not None:
        book.lines.extend(replace(line, figure=f"before the scale: {line.figure}") for line in before.lines or ())
    return exact, _batch(recipe, fats, weighed_masses, dispersed, scale, book)


def _with_rest(recipe: Recipe, fats: Sequence[Fat], masses: RecipeMasses, dispersed: Sequence[DispersedFat],
               scale: Scale | None, rest: int) -> RecipeMasses:
    """The masses if a liquid is the rest of the water: fat in it takes alkali, and alkali takes water."""
    for _ in range(_ROUNDS_MAX):
        found = _batch(recipe, fats, masses, dispersed, scale, SILENT, rest=rest)
        before = masses.liquids[rest]
        mass = before + found.water_added * 100 / recipe.liquids[rest].water_pct
        if scale is not None:
            mass = round_up(mass, scale.readability_g)  # up: the lye is never stronger than requested
        masses = replace(masses, liquids=(*masses.liquids[:rest], mass, *masses.liquids[rest + 1:]))
        if abs(mass - before) <= _SETTLED * mass:
            return masses
        if mass > limits.MASS.high:
            break
    liquid = recipe.liquids[rest]
    raise Unsolvable(f'"{liquid.name}" cannot be the rest of the water: the alkali for its fat needs nearly all the '
                     "water that it brings, or more. Ask for less water, use a liquid with less fat, or give it an "
                     "amount.",
                     field=("liquids", rest, "rest_of_water"), value=True)


def _weighed(exact: RecipeMasses, fats: Sequence[Fat], scale: Scale, sized_here: bool) -> RecipeMasses:
    fat_rounding = round_down if sized_here else round_nearest
    masses = tuple(fat_rounding(mass, scale.readability_g) for mass in exact.fats)
    for index, (fat, weigh) in enumerate(zip(fats, masses, strict=True)):
        if weigh <= 0:
            raise Unsolvable(EnglishText("{mass} of {name} rounds to zero on a scale that reads in {step} steps; use a "
                                         "finer scale or make a larger batch.",
                                         mass=amounts.mass(exact.fats[index], digits=9), name=fat.name,
                                         step=amounts.mass(scale.readability_g, digits=9)),
                             field=("fats", index))
    return RecipeMasses(masses, tuple(round_nearest(mass, scale.dose_readability_g) for mass in exact.acids),
                   tuple(round_nearest(mass, scale.readability_g) for mass in exact.liquids))


def _batch(recipe: Recipe, fats: Sequence[Fat], masses: RecipeMasses, dispersed: Sequence[DispersedFat],
           scale: Scale | None, book: Book, *, rest: int | None = None) -> InPot:
    """Alkali and water for these fats, acids and liquids; with a scale, as it shows them.

    If a liquid is the `rest`, the missing water is returned as `water_added` and not weighed.
    """
    in_pot = fats_in_pot(recipe, fats, masses, dispersed)
    need = alkali_to_weigh(recipe, in_pot, masses, scale, book)
    pure, alkalis = need.pure_g, need.bought_g
    in_stocks = math.fsum(mass - pure[i] for i, mass in enumerate(alkalis) if recipe.alkalis[i].brings_water)
    in_acids = math.fsum(mass * (1 - portion.strength_pct / 100)
                         for mass, portion in zip(masses.acids, recipe.acids, strict=True))
    in_liquids = math.fsum(mass * portion.water_pct / 100
                           for mass, portion in zip(masses.liquids, recipe.liquids, strict=True))
    counted = math.fsum(pure[i] if recipe.alkalis[i].brings_water else mass for i, mass in enumerate(alkalis))
    water_all = _water(recipe, counted, math.fsum(masses.fats), book)
    added = book.work("water to add", _ADDED, "g", DEFINITION, water=water_all, in_stocks=in_stocks,
                      in_acids=in_acids, in_liquids=in_liquids)
    settled = rest is None and any(one.rest_of_water for one in recipe.liquids)
    if rest is not None:
        return InPot(masses, pure, alkalis, counted, water_all, added, need.demand_mol, need.acids_mol)
    if settled:
        added, water_all = 0.0, in_stocks + in_acids + in_liquids
    else:
        # rounding of liquids and alkali may bring up to a step more water than the lye holds; then none is added
        slack = 0.0 if scale is None else scale.readability_g + 3 * scale.alkali_readability_g
        if added < -max(slack, _MISSING_WATER_STEPS * max(water_all, 1.0)):
            raise _too_much_water(recipe, fats, masses, dispersed, water_all, (in_stocks, in_acids, in_liquids))
        if added < 0:
            added, water_all = 0.0, in_stocks + in_acids + in_liquids
    added = max(added, 0.0)
    if scale is not None and not settled:
        brought = in_stocks + in_acids + in_liquids
        # rounding water down must not take a lye of exactly 50 % above it
        nearest = round_nearest(added, scale.readability_g)
        rounding = _UP if _too_strong(pure, counted + nearest + brought) else _NEAREST
        added = book.work("water on the scale", rounding, "g", "step of the scale", mass=added,
                          step=scale.readability_g)
        water_all = added + brought
    if _too_strong(pure, counted + water_all):
        strength = math.fsum(pure) / (counted + water_all)
        raise Unsolvable(f"The lye would contain {100 * strength:.4g} % pure alkali; above 50 % it does not stay "
                         "dissolved. Use more water: a water_to_alkali of 1.5 to 2.5 is usual.", field=("water",),
                         allowed="at most 50 % pure alkali")
    return InPot(masses, pure, alkalis, counted, water_all, added, need.demand_mol, need.acids_mol)


def _too_strong(pure_g: Sequence[float], lye_g: float) -> bool:
    return math.fsum(pure_g) > (_STRONGEST_LYE + 1e-9) * lye_g


def _water(recipe: Recipe, counted_g: float, fats_g: float, book: Book) -> float:
    rule = recipe.water
    if rule.lye_concentration_pct is not None:
        return book.work("all water", _WATER["lye_concentration_pct"], "g", _TRADE, alkali=counted_g,
                         c=rule.lye_concentration_pct)
    if rule.water_to_alkali is not None:
        return book.work("all water", _WATER["water_to_alkali"], "g", _TRADE, alkali=counted_g,
                         ratio=rule.water_to_alkali)
    return book.work("all water", _WATER["water_pct_of_fats"], "g", _TRADE, fats=fats_g,
                     pct=rule.water_pct_of_fats or 0.0)


def _too_much_water(recipe: Recipe, fats: Sequence[Fat], masses: RecipeMasses, dispersed: Sequence[DispersedFat],
                    water_all: float, brought: tuple[float, float, float]) -> Unsolvable:
    """The error if stocks, acids and liquids bring more water than the lye holds (`brought`, in that order [g])."""
    sources = [what for what, mass in zip(("stock", "acid solutions", "liquids"), brought, strict=True) if mass]
    remedy: str = EnglishText("the stock is weaker than the target. Use a stronger stock or more water.") \
        if brought[0] else EnglishText("use less of them or more water.")
    if brought[2]:
        index = max(range(len(recipe.liquids)), key=lambda i: masses.liquids[i] * recipe.liquids[i].water_pct)
        liquid, mass = recipe.liquids[index], masses.liquids[index]
        most = max(_with_rest(recipe, fats, masses, dispersed, None, index).liquids[index], 0.0)
        # a recipe by shares has no size yet: state the largest amount in the form in which the liquid was given
        fits: str | amounts.Amount = amounts.at_most(amounts.mass(most)) if liquid.pct_of_fats is None else EnglishText(
            "{part:.6g} % of the fats", part=math.floor(1e4 * most / mass * liquid.pct_of_fats) / 1e4)
        remedy = EnglishText("at most {fits} of {liquid} fits. Use less of it or more water, or give it "
                             '"rest_of_water": true instead of an amount.', fits=fits, liquid=liquid.name)
    # for a recipe by shares the masses would be those of a nominal size
    return Unsolvable(EnglishText("{part:.4g} % of the water of the lye would come from the {sources}: {remedy}",
                                  sources=" and the ".join(sources), part=100 * math.fsum(brought) / water_all,
                                  remedy=remedy), field=("water",))


def _ice(recipe: Recipe, exact: InPot, weighed: InPot, scale: Scale) -> MassToWeigh | None:
    part = recipe.water.ice_pct / 100
    if not part:
        return None
    on_scale = round_nearest(weighed.water_added * part, scale.readability_g)
    return MassToWeigh(exact.water_added * part, min(on_scale, weighed.water_added))
