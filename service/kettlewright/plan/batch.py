"""The main job: from a recipe and a mould to everything that is weighed, poured and cut."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright import amounts, limits
from kettlewright import cautions as caution_texts
from kettlewright.cautions import Caution
from kettlewright.errors import Unsolvable, gather
from kettlewright.plan.batch_fade import BatchFade, apply_fade, told_fade
from kettlewright.plan.fade import FadePlan
from kettlewright.plan.lye import dispersed_oil
from kettlewright.pour import (
    POT_FULL,
    Addition,
    BarCut,
    BarMix,
    Batter,
    Cuts,
    Division,
    Fill,
    Finish,
    LimitCheck,
    LoafCut,
    MadeDispersion,
    MixingStep,
    Mould,
    Portion,
    Residue,
    Tolerance,
    Trim,
    Vessels,
    bars_of,
    batter_of,
    check_dispersions,
    check_fits,
    cut_block,
    dispersions_of,
    divide,
    factor_to_fill,
    judge_limits,
    mixing_order,
    shares_of_layers,
    solid_of,
    vessels_for,
    whole_batch,
)
from kettlewright.recipe import (
    SILENT,
    Book,
    Lye,
    Recipe,
    Scale,
    WorkingLine,
    make_lye,
)
from kettlewright.recipe.scaling import scaled, with_masses
from kettlewright.recipe.weighing import EXACT
from kettlewright.said import EnglishText
from kettlewright.weigh_list import WeighRow, weigh_list

__all__ = ["Bench", "CutWish", "Mixes", "Pieces", "Plan", "PortionPlan", "plan_batch", "plan_portions"]

MIXES_MAX = 20


@dataclass(frozen=True, slots=True)
class Bench:
    """What buckets need besides their weighings.

    Parameters
    ----------
    dispersions : tuple of MadeDispersion
        Jars to make before the pour. [g]
    mixing_order : tuple of MixingStep
        In which order to stir, where that is not simply the order of the pour. [steps]
    limits : tuple of LimitCheck
        Ingredients held to their limits. [% of cured bar]
    """

    dispersions: tuple[MadeDispersion, ...]
    mixing_order: tuple[MixingStep, ...]
    limits: tuple[LimitCheck, ...]


def _bench(division: Division, scale: Scale, bars: Sequence[BarMix] = ()) -> Bench:
    return Bench(dispersions_of(division, step_g=scale.dose_readability_g), mixing_order(division),
                 judge_limits(division, bars))


@dataclass(frozen=True, slots=True)
class PortionPlan:
    """A batter shared out.

    Parameters
    ----------
    division : Division
        The buckets. [g]
    cautions : tuple of Caution
        What they bring on. [cautions]
    bench : Bench
        What is made ready and stirred for them, and how they stand to their limits. [g]
    """

    division: Division
    cautions: tuple[Caution, ...]
    bench: Bench


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
    bench : Bench
        What is made ready and stirred for the portions, and how they stand to their limits. [g]
    workings : tuple of WorkingLine
        Of the lye, line by line, where it was asked. [g]
    mixes : Mixes, optional
        Where the pot at hand is told. [mixes]
    fade : FadePlan, optional
        Where one was asked. [g/kg]
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
    bench: Bench
    workings: tuple[WorkingLine, ...] = ()
    mixes: Mixes | None = None
    fade: FadePlan | None = None

    @property
    def pieces(self) -> Pieces | None:
        """One for each cavity, where nothing is cut. [pieces]"""
        mould = self.division.mould
        if self.cuts is not None or mould is None:
            return None
        each = self.division.mould_mass_g / mould.count
        loss = self.expected_loss_pct
        return Pieces(mould.count, each, None if loss is None else each * (1 - loss / 100))


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
    _check_jars(portions, additions)
    if mould is not None:
        check_fits(batter, portions, additions, mould=mould, scale=scale, residue=residue, arrangement=arrangement)
    division = divide(batter, portions, additions, residue=residue, scale=scale, mould=mould,
                      arrangement=arrangement, loss_pct=expected_loss_pct)
    # how the block will be cut is not known here; but a piece of its own is a bar
    bench = _bench(division, scale, bars_of(division, arrangement=arrangement) if arrangement == "separate" else ())
    return PortionPlan(division, caution_texts.of_division(division, bench.limits), bench)


def _check_jars(portions: Sequence[Portion], additions: Sequence[Addition]) -> None:
    check_dispersions([*((("additions", index), addition) for index, addition in enumerate(additions)),
                       *((("portions", number, "additions", index), addition)
                         for number, portion in enumerate(portions)
                         for index, addition in enumerate(portion.additions))])


def plan_batch(recipe: Recipe, mould: Mould, scale: Scale, *, portions: Sequence[Portion] = (),
               additions: Sequence[Addition] = (), residue: Residue | None = None, arrangement: str = "layers",
               cut: CutWish | None = None, expected_loss_pct: float | None = None,
               batter_density: float | None = None, workings: bool = False, overflow_mould: Mould | None = None,
               pot_volume_ml: float | None = None, fade: BatchFade | None = None) -> Plan:
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
    fade : BatchFade, optional
        Whose doses the portions get. [g/kg]

    Returns
    -------
    Plan : [g, mL, mm]

    Raises
    ------
    Faults, DomainError : whatever a stage refuses, with the stage's place in the request.
    """
    parts = tuple(portions) or whole_batch()
    put = None
    with gather() as checks:
        with checks.at("fade"):
            if fade is not None:
                put = apply_fade(fade, parts)
                parts = put.portions
        with checks.at():
            _check_jars(parts, additions)
        with checks.at("recipe"):
            base = with_masses(recipe)
            exact = make_lye(base, EXACT, dispersed=dispersed_oil(base, EXACT, additions))
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
                       dispersed=dispersed_oil(sized, scale, additions, sized_here=recipe.by_share))
        batter = batter_of(lye, measured_density=batter_density, book=book)
    loss = expected_loss_pct
    if loss is None:
        loss = min(100 * lye.water_mass_g / batter.mass_g, limits.LOSS_PCT.high)
    division = divide(batter, parts, additions, residue=residue, scale=scale, mould=mould, arrangement=arrangement,
                      loss_pct=loss, overflow=overflow_mould)
    mixes = _mixes(sized, scale, division.pot_volume_ml, pot_volume_ml, sized_here=recipe.by_share)
    with gather() as checks, checks.at("cut"):
        cuts = None if cut is None else _cut(cut, mould, division, expected_loss_pct)
    bench = _bench(division, scale, bars_of(division, arrangement=arrangement, cuts=cuts))
    told = None if put is None else told_fade(put, division)
    return Plan(recipe=sized, lye=lye, batter=batter,
                vessels=vessels_for(lye, division.pot_volume_ml), division=division,
                fill=_filled(mould, division), arrangement=arrangement, cuts=cuts,
                expected_loss_pct=expected_loss_pct, mixes=mixes,
                weigh_list=weigh_list(lye, scale, division, bench.dispersions),
                cautions=(*caution_texts.of_lye(lye, at="/recipe"),
                          *caution_texts.of_division(division, bench.limits, sized_to_mould=recipe.by_share),
                          *(() if told is None else told.cautions)),
                bench=bench, workings=tuple(book.lines or ()),
                fade=told)


def _mixes(recipe: Recipe, scale: Scale, needed_ml: float, pot_ml: float | None, *,
           sized_here: bool) -> Mixes | None:
    if pot_ml is None:
        return None
    count = max(math.ceil(needed_ml / (pot_ml * POT_FULL) - 1e-9), 1)
    if count > MIXES_MAX:
        raise Unsolvable(EnglishText("A pot of {pot} would be filled {count} times; at most {most} mixes are planned."
                                     " Is the unit right?",
                                     pot=amounts.volume(pot_ml), count=count, most=MIXES_MAX),
                         field=("pot_volume",), value=pot_ml)
    lye = make_lye(scaled(recipe, 1 / count), scale, sized_here=sized_here)
    return Mixes(count, weigh_list(lye, scale))


def _cut(cut: CutWish, mould: Mould, division: Division, expected_loss_pct: float | None) -> Cuts:
    solid = solid_of(mould.cavity, mould.height_of(division.mould_volume_ml))
    assert solid is not None
    layers = [(portion.key, (portion.layer.bottom_mm, portion.layer.top_mm)) for portion in division.portions
              if portion.layer is not None]
    columns = [(portion.key, (portion.column.start_mm, portion.column.end_mm)) for portion in division.portions
               if portion.column is not None]
    return cut_block(solid, cut.bar, loaf=cut.loaf, kerf_mm=cut.kerf_mm, trim=cut.trim, tolerance=cut.tolerance,
                     density=division.mould_mass_g / division.mould_volume_ml, expected_loss_pct=expected_loss_pct,
                     blocks_count=mould.count, finish=cut.finish, layers=layers, columns=columns)


def _filled(mould: Mould, division: Division) -> Fill:
    known = mould.fill_height_mm is not None
    tops = [portion.layer.top_mm for portion in division.portions if portion.layer is not None]
    # of portions in cavities of their own the highest tells whether all of them fit
    depth = None if not known else max(tops) if tops else mould.height_of(division.mould_volume_ml)
    return Fill(depth_mm=depth, volume_ml=division.mould_volume_ml, mass_g=division.mould_mass_g,
                area_cm2=None if depth is None else mould.area_at(depth))
