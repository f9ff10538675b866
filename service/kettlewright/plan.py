"""The main job: from a recipe and a mould to everything that is weighed, poured and cut."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from kettlewright import cautions as caution_texts
from kettlewright import limits
from kettlewright.cautions import Caution
from kettlewright.errors import DomainError, Unsolvable, gather
from kettlewright.pour import (
    POT_FULL,
    Addition,
    BarCut,
    Batter,
    Cuts,
    Division,
    Fill,
    Finish,
    LoafCut,
    Mould,
    Portion,
    Residue,
    Tolerance,
    Trim,
    Vessels,
    batter_of,
    check_fits,
    cut_block,
    divide,
    factor_to_fill,
    factor_to_use_up,
    shares_of_layers,
    solid_of,
    vessels_for,
    whole_batch,
)
from kettlewright.recipe import (
    SILENT,
    BarsWanted,
    Book,
    DispersedFat,
    Limiting,
    Lye,
    Recipe,
    Scale,
    WorkingLine,
    make_lye,
)
from kettlewright.recipe.blends import Blend, blend_fats
from kettlewright.recipe.scaling import bars_batter, factor_for_fats, limiting_factor, scaled, with_masses
from kettlewright.recipe.weighing import EXACT
from kettlewright.recipe.wishes import FatAtHand, Objective, Wish
from kettlewright.weigh_list import WeighRow, weigh_list

__all__ = ["Blended", "CutWish", "LyePlan", "Mixes", "MouldTarget", "Pieces", "Plan", "PortionPlan", "Scaled", "Target",
           "plan_batch", "plan_blend", "plan_lye", "plan_portions", "scale_recipe"]

_STEPS_MAX = 60
MIXES_MAX = 20


@dataclass(frozen=True, slots=True)
class MouldTarget:
    """A mould to fill to its headspace.

    Parameters
    ----------
    mould : Mould
        The mould. [mould]
    residue : Residue
        What stays behind. [g]
    """

    mould: Mould
    residue: Residue


@dataclass(frozen=True, slots=True)
class Target:
    """A size, told in exactly one way.

    Parameters
    ----------
    factor : float, optional
        Times the recipe. [1]
    fats_mass_g, batter_mass_g : float, optional
        All fats; all batter before additions. [g]
    mould : MouldTarget, optional
        A mould filled to its headspace. [mould]
    bars : BarsWanted, optional
        Bars of a cured mass. [bars]
    limiting : Limiting, optional
        All that is left of something. [g]

    Raises
    ------
    DomainError : none or several given.
    """

    factor: float | None = None
    fats_mass_g: float | None = None
    batter_mass_g: float | None = None
    mould: MouldTarget | None = None
    bars: BarsWanted | None = None
    limiting: Limiting | None = None

    def __post_init__(self) -> None:
        names = ("factor", "fats_mass_g", "batter_mass_g", "mould", "bars", "limiting")
        given = [name for name in names if getattr(self, name) is not None]
        if len(given) != 1:
            raise DomainError('A target is exactly one of "factor", "fats_mass", "batter_mass", "mould" (with or '
                              f'without "residue"), "bars" or "limiting"; {len(given) or "none"} given.')
        with gather() as checks:
            for name, bounds in (("factor", limits.FACTOR), ("fats_mass_g", limits.MASS),
                                 ("batter_mass_g", limits.MASS)):
                with checks.at():
                    if getattr(self, name) is not None:
                        bounds.check(getattr(self, name), name.removesuffix("_g"))


@dataclass(frozen=True, slots=True)
class LyePlan:
    """A recipe, weighed, with its batter and vessels.

    Parameters
    ----------
    lye, batter, vessels : results
        Of the recipe. [g, mL]
    weigh_list : tuple of WeighRow
        In bench order. [g]
    cautions : tuple of Caution
        What the recipe brings on. [cautions]
    workings : tuple of WorkingLine
        The calculation line by line, where it was asked. [g]
    """

    lye: Lye
    batter: Batter
    vessels: Vessels
    weigh_list: tuple[WeighRow, ...]
    cautions: tuple[Caution, ...]
    workings: tuple[WorkingLine, ...] = ()


@dataclass(frozen=True, slots=True)
class Scaled:
    """A recipe at a new size.

    Parameters
    ----------
    factor : float, optional
        How much larger; none for a recipe by shares. [1]
    recipe : Recipe
        Unrounded. [recipe]
    lye : LyePlan
        Computed anew for it. [g]
    """

    factor: float | None
    recipe: Recipe
    lye: LyePlan


@dataclass(frozen=True, slots=True)
class PortionPlan:
    """A batter shared out.

    Parameters
    ----------
    division : Division
        The buckets. [g]
    cautions : tuple of Caution
        What they bring on. [cautions]
    """

    division: Division
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class CutWish:
    """How the block is to be cut, once it is known.

    Parameters
    ----------
    bar : BarCut
        The bars. [mm, bars or g]
    loaf : LoafCut, optional
        The loaves. [mm]
    kerf_mm : float
        Width of a cut. [mm]
    trim, tolerance, finish : optional
        Cut off first; how far a cut may be off; what is taken off each bar. [mm]
    """

    bar: BarCut
    loaf: LoafCut | None = None
    kerf_mm: float = 0.0
    trim: Trim | None = None
    tolerance: Tolerance | None = None
    finish: Finish | None = None


@dataclass(frozen=True, slots=True)
class Mixes:
    """A batch mixed in several equal goes, since the pot does not hold it at once.

    Parameters
    ----------
    count : int
        How many. [mixes]
    weigh_list : tuple of WeighRow
        For each, alkali computed anew; jug and pot only. [g]
    """

    count: int
    weigh_list: tuple[WeighRow, ...]


@dataclass(frozen=True, slots=True)
class Pieces:
    """What a batch that is not cut comes to: one piece for each cavity.

    Parameters
    ----------
    count : int
        How many. [pieces]
    mass_g, cured_mass_g : float
        Of one, wet, and after the loss in cure where that is told. [g]
    """

    count: int
    mass_g: float
    cured_mass_g: float | None


@dataclass(frozen=True, slots=True)
class Plan:
    """One whole batch.

    Parameters
    ----------
    recipe : Recipe
        At the size made. [recipe]
    lye, batter, vessels, division : results
        Of each stage. [g, mL, mm]
    fill : Fill
        What stands in the mould. [mm, mL, g]
    arrangement : str
        How the portions lie. [key]
    cuts : Cuts, optional
        Where a cut was asked. [mm, g]
    expected_loss_pct : float, optional
        As given. [% of batter]
    weigh_list : tuple of WeighRow
        In bench order. [g]
    cautions : tuple of Caution
        What this batch brings on, in the order of the hands. [cautions]
    workings : tuple of WorkingLine
        Of the lye, line by line, where it was asked. [g]
    mixes : Mixes, optional
        Where the pot at hand is told. [mixes]
    """

    recipe: Recipe
    lye: Lye
    batter: Batter
    vessels: Vessels
    division: Division
    fill: Fill
    arrangement: str
    cuts: Cuts | None
    expected_loss_pct: float | None
    weigh_list: tuple[WeighRow, ...]
    cautions: tuple[Caution, ...]
    workings: tuple[WorkingLine, ...] = ()
    mixes: Mixes | None = None

    @property
    def pieces(self) -> Pieces | None:
        """One for each cavity, where nothing is cut. [pieces]"""
        mould = self.division.mould
        if self.cuts is not None or mould is None:
            return None
        each = self.division.mould_mass_g / mould.count
        loss = self.expected_loss_pct
        return Pieces(mould.count, each, None if loss is None else each * (1 - loss / 100))


def plan_lye(recipe: Recipe, scale: Scale, *, batter_density: float | None = None, sized_here: bool = False,
             additions: Sequence[Addition] = (), expected_loss_pct: float | None = None, workings: bool = False,
             at: str = "") -> LyePlan:
    """What to weigh for a recipe by masses.

    Parameters
    ----------
    recipe : Recipe
        Fats by mass. [recipe]
    scale : Scale
        Steps of the scales. [g]
    batter_density : float, optional
        Measured by the maker. [g/mL]
    sized_here : bool
        The service chose the size: fats are weighed down. [yes or no]
    additions : sequence of Addition
        The batch's own: the oil they are dispersed in counts as fat. [additions]
    expected_loss_pct : float, optional
        Loss in cure. [% of batter]
    workings : bool
        Keep the calculation line by line. [yes or no]
    at : str
        Where the recipe stands in the request, as a JSON Pointer. [text]

    Returns
    -------
    LyePlan : [g, mL]

    Raises
    ------
    Faults, DomainError : shares instead of masses, and whatever `make_lye` refuses.
    """
    if recipe.by_share:
        raise Unsolvable("Shares of fats give no size: give masses here, or ask for a size at /v1/scaling or with a "
                         "mould at /v1/batches.", field=("fats", 0, "share_pct"))
    book = Book() if workings else SILENT
    dispersed = _dispersed(recipe, scale, additions, sized_here=sized_here)
    lye = make_lye(recipe, scale, sized_here=sized_here, dispersed=dispersed, expected_loss_pct=expected_loss_pct,
                   book=book)
    batter = batter_of(lye, measured_density=batter_density, book=book)
    return LyePlan(lye, batter, vessels_for(lye, batter.volume_ml, book), weigh_list(lye, scale),
                   caution_texts.of_lye(lye, at=at), tuple(book.lines or ()))


def _dispersed(recipe: Recipe, scale: Scale, additions: Sequence[Addition], *,
               sized_here: bool = False) -> tuple[DispersedFat, ...]:
    """Oil that the batch's additions bring into the pot. A dose on the batter grows with the alkali for that oil."""
    oily = [(addition, addition.contains, addition.contains.fat_value) for addition in additions
            if addition.in_batter and addition.contains is not None and addition.contains.fat_value is not None]
    if not oily:
        return ()
    found: tuple[DispersedFat, ...] = ()
    for _ in range(_STEPS_MAX):
        lye = make_lye(recipe, scale, sized_here=sized_here, dispersed=found)
        batter = batter_of(lye)
        before, found = found, tuple(
            DispersedFat(addition.name, contains.fat_pct / 100 * addition.mass_in(
                batter_g=batter.mass_g, fats_g=batter.fats_mass_g), value) for addition, contains, value in oily)
        if before and all(abs(now.mass_g - then.mass_g) <= 1e-9 * now.mass_g
                          for now, then in zip(found, before, strict=True)):
            break
    return found


def scale_recipe(recipe: Recipe, target: Target, scale: Scale, *, additions: Sequence[Addition] = (),
                 batter_density: float | None = None, expected_loss_pct: float | None = None,
                 workings: bool = False) -> Scaled:
    """A recipe at the size a target asks, alkali and water computed anew.

    Parameters
    ----------
    recipe : Recipe
        By mass or by share. [recipe]
    target : Target
        The size. [target]
    scale : Scale
        Steps of the scales. [g]
    additions : sequence of Addition
        The batch's own: they take room in a mould, and one of them may be what is left. [additions]
    batter_density : float, optional
        Measured by the maker. [g/mL]
    expected_loss_pct : float, optional
        Loss in cure. [% of batter]
    workings : bool
        Keep the calculation line by line. [yes or no]

    Returns
    -------
    Scaled : [g]

    Raises
    ------
    DomainError, Faults : a factor on shares, a target that no size meets, and whatever `make_lye` refuses.
    """
    if recipe.by_share and target.factor is not None:
        raise DomainError("A recipe by shares has no size to multiply; give any other target.",
                          field=("target", "factor"))
    base = with_masses(recipe)
    with gather() as checks, checks.at("recipe"):
        lye = make_lye(base, EXACT, dispersed=_dispersed(base, EXACT, additions))
        batter = batter_of(lye, measured_density=batter_density)
    with gather() as checks, checks.at("target"):
        factor = _factor(base, lye, batter, target, additions)
        sized = scaled(base, factor)
    with gather() as checks, checks.at("recipe"):
        plan = plan_lye(sized, scale, batter_density=batter_density, sized_here=True, additions=additions,
                        expected_loss_pct=expected_loss_pct, workings=workings, at="/recipe")
    return Scaled(None if recipe.by_share else factor, sized, plan)


def _factor(base: Recipe, lye: Lye, batter: Batter, target: Target, additions: Sequence[Addition]) -> float:
    if target.factor is not None:
        return target.factor
    if target.fats_mass_g is not None:
        return factor_for_fats(base, target.fats_mass_g)
    if target.batter_mass_g is not None:
        return target.batter_mass_g / batter.mass_g
    if target.bars is not None:
        return bars_batter(target.bars) / batter.mass_g
    if target.mould is not None:
        return factor_to_fill(batter, target.mould.mould.volume_ml, whole_batch(), additions,
                              residue=target.mould.residue)
    assert target.limiting is not None
    with gather() as checks, checks.at("limiting"):
        if target.limiting.kind == "addition":
            return factor_to_use_up(batter, additions, target.limiting.key, target.limiting.mass_g)
        return limiting_factor(lye, target.limiting)
    raise AssertionError("unreachable: gather raises")


@dataclass(frozen=True, slots=True)
class Blended:
    """A blend, and the recipe made of it.

    Parameters
    ----------
    blend : Blend
        Shares. [% of fats]
    fats_g : float, optional
        All fats, where the size is known. [g]
    recipe : Recipe, optional
        With the blend for its fats, where one was given. [recipe]
    lye : LyePlan, optional
        Computed anew for it, where its size is known. [g]
    """

    blend: Blend
    fats_g: float | None
    recipe: Recipe | None
    lye: LyePlan | None


def plan_blend(at_hand: Sequence[FatAtHand], objective: Objective, scale: Scale, *, wishes: Sequence[Wish] = (),
               recipe: Recipe | None = None, fats_mass_g: float | None = None) -> Blended:
    """The best blend of the fats at hand, and its lye computed anew.

    Parameters
    ----------
    at_hand, objective, wishes
        As for `recipe.blends.blend_fats`. [% of fats]
    scale : Scale
        Steps of the scales. [g]
    recipe : Recipe, optional
        What the blend comes near to, and what is made with it. [recipe]
    fats_mass_g : float, optional
        All fats; those of a recipe by mass where not given. [g]

    Returns
    -------
    Blended : [% of fats, g]

    Raises
    ------
    Faults, DomainError : whatever `blend_fats` and `make_lye` refuse.
    """
    size = fats_mass_g
    if size is None and recipe is not None and not recipe.by_share:
        size = math.fsum(portion.mass_g or 0.0 for portion in recipe.fats)
    blend = blend_fats(at_hand, wishes, objective, reference=() if recipe is None else recipe.fats, fats_g=size)
    if recipe is None:
        return Blended(blend, size, None, None)
    fats = tuple(replace(share.fat, mass_g=None if size is None else size * share.share_pct / 100,
                         share_pct=share.share_pct if size is None else None) for share in blend.shares)
    with gather() as checks, checks.at("recipe"):
        made = replace(recipe, fats=fats)
        lye = None if size is None else plan_lye(made, scale, at="/recipe")
    return Blended(blend, size, made, lye)


def plan_portions(batter: Batter, portions: Sequence[Portion], scale: Scale, *, additions: Sequence[Addition] = (),
                  residue: Residue | None = None, mould: Mould | None = None, arrangement: str = "layers",
                  expected_loss_pct: float | None = None) -> PortionPlan:
    """A batter shared out into buckets.

    Parameters
    ----------
    batter, portions, scale, additions, residue, mould, arrangement
        As for `pour.divide`. [g, mm]
    expected_loss_pct : float, optional
        Loss in cure. [% of batter]

    Returns
    -------
    PortionPlan : [g, mm]

    Raises
    ------
    Faults, DomainError : whatever `pour.divide` refuses, and more batter than the mould takes.
    """
    if mould is not None:
        check_fits(batter, portions, additions, mould=mould, scale=scale, residue=residue, arrangement=arrangement)
    division = divide(batter, portions, additions, residue=residue, scale=scale, mould=mould,
                      arrangement=arrangement, loss_pct=expected_loss_pct)
    return PortionPlan(division, caution_texts.of_division(division))


def plan_batch(recipe: Recipe, mould: Mould, scale: Scale, *, portions: Sequence[Portion] = (),
               additions: Sequence[Addition] = (), residue: Residue | None = None, arrangement: str = "layers",
               cut: CutWish | None = None, expected_loss_pct: float | None = None,
               batter_density: float | None = None, workings: bool = False, overflow_mould: Mould | None = None,
               pot_volume_ml: float | None = None) -> Plan:
    """Everything for one batch.

    Parameters
    ----------
    recipe : Recipe
        By share: the mould gives the size. By mass: it must go into the mould. [recipe]
    mould : Mould
        Where it goes. [mould]
    scale : Scale
        Steps of the scales. [g]
    portions : sequence of Portion
        In pour order; without any the batch is one portion. [portions]
    additions : sequence of Addition
        The batch's own, into the pot. [additions]
    residue : Residue, optional
        What stays behind. [g]
    arrangement : str
        How the portions lie. [key]
    cut : CutWish, optional
        How the block is cut. [mm]
    expected_loss_pct : float, optional
        Loss in cure; where not given, all water counts as gone for the limits. [% of batter]
    batter_density : float, optional
        Measured by the maker. [g/mL]
    workings : bool
        Keep the calculation of the lye line by line. [yes or no]
    overflow_mould : Mould, optional
        Takes what is above the mould's fill limit. [mould]
    pot_volume_ml : float, optional
        What the pot at hand holds; two thirds of it are used, in as many goes as that takes. [mL]

    Returns
    -------
    Plan : [g, mL, mm]

    Raises
    ------
    Faults, DomainError : whatever a stage refuses, with the stage's place in the request.
    """
    parts = tuple(portions) or whole_batch()
    with gather() as checks:
        with checks.at("recipe"):
            base = with_masses(recipe)
            exact = make_lye(base, EXACT, dispersed=_dispersed(base, EXACT, additions))
            exact_batter = batter_of(exact, measured_density=batter_density)
        with checks.at("cut"):
            if cut is not None and (solid_of(mould.cavity, 1.0) is None or arrangement == "separate"):
                raise Unsolvable("Bowls, cones, measured moulds and portions in cavities of their own are not cut: "
                                 "each cavity is a bar; leave the cut out.")
        with checks.at("portions"):
            if recipe.by_share and any(portion.mass_g is not None for portion in parts):
                raise Unsolvable('Where the fats are shares the mould gives the size, so portions are told by '
                                 '"share_pct" as well.')
    sized = exact.recipe
    if recipe.by_share:
        with gather() as checks, checks.at():
            sized = scaled(sized, factor_to_fill(exact_batter, mould.volume_ml, parts, additions, residue=residue,
                                                 mould=mould, arrangement=arrangement))
            parts = shares_of_layers(parts, exact_batter, additions, residue=residue, mould=mould)
    else:
        check_fits(exact_batter, parts, additions, mould=mould, scale=scale, residue=residue, overflow=overflow_mould,
                   arrangement=arrangement)
    with gather() as checks, checks.at("recipe"):
        book = Book() if workings else SILENT
        lye = make_lye(sized, scale, sized_here=recipe.by_share, expected_loss_pct=expected_loss_pct, book=book,
                       dispersed=_dispersed(sized, scale, additions, sized_here=recipe.by_share))
        batter = batter_of(lye, measured_density=batter_density, book=book)
    loss = expected_loss_pct
    if loss is None:
        water = lye.water_mass_g + _added_water(batter, additions)
        loss = min(100 * water / batter.mass_g, limits.LOSS_PCT.high)
    division = divide(batter, parts, additions, residue=residue, scale=scale, mould=mould, arrangement=arrangement,
                      loss_pct=loss, overflow=overflow_mould)
    mixes = _mixes(sized, scale, division.pot_volume_ml, pot_volume_ml, sized_here=recipe.by_share)
    with gather() as checks, checks.at("cut"):
        cuts = None if cut is None else _cut(cut, mould, division, expected_loss_pct)
    return Plan(recipe=sized, lye=lye, batter=batter,
                vessels=vessels_for(lye, division.pot_volume_ml), division=division,
                fill=_filled(mould, division), arrangement=arrangement, cuts=cuts,
                expected_loss_pct=expected_loss_pct, weigh_list=weigh_list(lye, scale, division), mixes=mixes,
                cautions=(*caution_texts.of_lye(lye, at="/recipe"),
                          *caution_texts.of_division(division, sized_to_mould=recipe.by_share)),
                workings=tuple(book.lines or ()))


def _mixes(recipe: Recipe, scale: Scale, needed_ml: float, pot_ml: float | None, *,
           sized_here: bool) -> Mixes | None:
    if pot_ml is None:
        return None
    count = max(math.ceil(needed_ml / (pot_ml * POT_FULL) - 1e-9), 1)
    if count > MIXES_MAX:
        raise Unsolvable(f"A pot of {pot_ml:.6g} mL would be filled {count} times; at most {MIXES_MAX} mixes are "
                         "planned. Is the unit right?", field=("pot_volume",), value=pot_ml)
    lye = make_lye(scaled(recipe, 1 / count), scale, sized_here=sized_here)
    return Mixes(count, weigh_list(lye, scale))


def _added_water(batter: Batter, additions: Sequence[Addition]) -> float:
    """Water that the batch's additions are dispersed in. [g]"""
    return math.fsum(addition.mass_in(batter_g=batter.mass_g, fats_g=batter.fats_mass_g) * addition.contains.water_pct
                     / 100 for addition in additions if addition.contains is not None and addition.in_batter)


def _cut(cut: CutWish, mould: Mould, division: Division, expected_loss_pct: float | None) -> Cuts:
    solid = solid_of(mould.cavity, mould.height_of(division.mould_volume_ml))
    assert solid is not None
    layers = [(portion.key, (portion.layer.bottom_mm, portion.layer.top_mm)) for portion in division.portions
              if portion.layer is not None]
    return cut_block(solid, cut.bar, loaf=cut.loaf, kerf_mm=cut.kerf_mm, trim=cut.trim, tolerance=cut.tolerance,
                     density=division.mould_mass_g / division.mould_volume_ml, expected_loss_pct=expected_loss_pct,
                     blocks_count=mould.count, finish=cut.finish, layers=layers)


def _filled(mould: Mould, division: Division) -> Fill:
    known = mould.fill_height_mm is not None
    tops = [portion.layer.top_mm for portion in division.portions if portion.layer is not None]
    # of portions in cavities of their own the highest tells whether all of them fit
    depth = None if not known else max(tops) if tops else mould.height_of(division.mould_volume_ml)
    return Fill(depth_mm=depth, volume_ml=division.mould_volume_ml, mass_g=division.mould_mass_g,
                area_cm2=None if depth is None else mould.area_at(depth))
