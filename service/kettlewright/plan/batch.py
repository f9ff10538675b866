"""The main job: from a recipe and a mould to everything that is weighed, poured and cut."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kettlewright import cautions as caution_texts
from kettlewright.cautions import Caution
from kettlewright.curing import cured_mass
from kettlewright.errors import Unsolvable, check_distinct, gather
from kettlewright.plan.batch_cut import CutOptions, Pieces, check_is_cut, cut_of, filled
from kettlewright.plan.batch_fade import BatchFade, apply_fade, check_free, fade_of_division
from kettlewright.plan.dispersed_oil import as_weighed_in, dispersed_oil
from kettlewright.plan.fade import FadePlan
from kettlewright.plan.mixes import Mixes, mixes_needed, one_of_mixes, steps_of
from kettlewright.plan.portion_plan import Bench, bench_of, by_share_where_by_mass, check_counts, check_jars
from kettlewright.plan.set_out import Bottle, set_out
from kettlewright.pour import (
    Addition,
    BarMix,
    Batter,
    Cuts,
    Division,
    Fill,
    Mould,
    Portion,
    Replanned,
    Residue,
    Vessels,
    bars_of,
    batter_of,
    check_fits,
    check_loss_of_pieces,
    divide,
    factor_to_fill,
    judge_limits,
    shares_of_layers,
    vessels_for,
    whole_batch,
    with_doses,
    with_largest_doses,
    with_superfats,
)
from kettlewright.recipe import (
    SILENT,
    Book,
    Lye,
    Recipe,
    Scale,
    WorkingLine,
    make_lye,
    make_potful,
)
from kettlewright.recipe.scaling import scaled, with_masses
from kettlewright.recipe.weighing import EXACT
from kettlewright.weigh_list import WeighRow, weigh_list

__all__ = ["Mixes", "Plan", "plan_batch"]

_ROUNDINGS_MAX = 5  # a dose on the batter may swing between two steps: then the last of them stays


@dataclass(frozen=True, slots=True)
class Plan:
    """One whole batch.

    Parameters
    ----------
    recipe : Recipe
        At the size made. [recipe]
    lye, batter, vessels, division : results
        Of each stage; the vessels hold one mix where there are several. [g, mL, mm]
    fill : Fill
        Contents of the mould. [mm, mL, g]
    arrangement : str
        How the portions lie. [key]
    cuts : Cuts, optional
        The cut, if requested. [mm, g]
    expected_loss_pct : float, optional
        As given. [% of a bar as cut]
    weigh_list : tuple of WeighRow
        In bench order. [g]
    cautions : tuple of Caution
        What this batch triggers, in the order you do the steps. [cautions]
    bench : Bench
        Dispersions, mixing order and limits of the portions. [g]
    workings : tuple of WorkingLine
        Of the lye, line by line, if requested. [g]
    mixes : Mixes, optional
        Where the pot at hand is given. [mixes]
    fade : FadePlan, optional
        The fade, if requested. [g/kg]
    bottles : tuple of Bottle
        What to set out before any lye is made. [g]
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
    bottles: tuple[Bottle, ...] = ()

    @property
    def pieces(self) -> Pieces | None:
        """One for each cavity, where nothing is cut. [pieces]"""
        mould = self.division.mould
        if self.cuts is not None or mould is None:
            return None
        each = self.division.mould_mass_g / mould.count
        loss = self.expected_loss_pct
        return Pieces(mould.count, each, None if loss is None else cured_mass(each, loss))


def plan_batch(recipe: Recipe, mould: Mould, scale: Scale, *, portions: Sequence[Portion] = (),
               additions: Sequence[Addition] = (), residue: Residue | None = None, arrangement: str = "layers",
               cut: CutOptions | None = None, expected_loss_pct: float | None = None,
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
    cut : CutOptions, optional
        How the block is cut. [mm]
    expected_loss_pct : float, optional
        Loss in cure; where not given, all the water is taken as lost. [% of a bar as cut]
    batter_density : float, optional
        Measured by the maker. [g/mL]
    workings : bool
        Keep the calculation of the lye line by line. [yes or no]
    overflow_mould : Mould, optional
        Takes what is above the mould's fill limit. [mould]
    pot_volume_ml : float, optional
        Volume of the pot; it is filled to two thirds, in as many equal mixes as needed. [mL]
    fade : BatchFade, optional
        Whose doses the portions get. [g/kg]

    Returns
    -------
    Plan : [g, mL, mm]

    Raises
    ------
    DomainErrors, DomainError : whatever a stage refuses, with the stage's place in the request.
    """
    parts = tuple(portions) or whole_batch()
    put = None
    with gather() as checks, checks.at("portions"):
        if fade is not None:  # it names portions, so each needs a name of its own
            check_distinct([portion.key for portion in parts], "portion")
    check_counts(parts, additions)
    with gather() as checks:
        with checks.at():
            if fade is not None:
                check_free(fade, parts)
        with checks.at("fade"):
            if fade is not None:
                put = apply_fade(fade, parts)
                parts = put.portions
        with checks.at():
            check_jars(parts, additions)
        with checks.at("recipe"):
            base = with_masses(recipe)
            exact = make_potful(base, EXACT, dispersed=dispersed_oil(base, EXACT, additions))
            exact_batter = batter_of(exact, measured_density=batter_density)
        with checks.at("cut"):
            if cut is not None:
                check_is_cut(mould, arrangement)
        given_parts = parts
        with checks.at("portions"):
            if recipe.by_share and any(portion.mass_g is not None for portion in parts):
                raise Unsolvable('If the fats are shares, the mould gives the size, so give portions by "share_pct" '
                                 'too.')
    sized = base
    if recipe.by_share:
        with gather() as checks, checks.at():
            sized, parts = _sized(sized, exact_batter, mould, parts, additions, residue, arrangement)
    else:
        check_fits(exact_batter, parts, additions, mould=mould, scale=scale, residue=residue, overflow=overflow_mould,
                   arrangement=arrangement)

    def made(sized: Recipe, parts: Sequence[Portion], stirred: Sequence[Addition], count: int,
             book: Book = SILENT) -> _Made:
        # each mix is weighed separately, so that all of them together go in steps of so many
        steps = steps_of(scale, count)
        with gather() as checks, checks.at("recipe"):
            dispersed = dispersed_oil(sized, steps, stirred, sized_here=recipe.by_share)
        for _ in range(_ROUNDINGS_MAX):
            lines = len(book.lines or ())
            with gather() as checks, checks.at("recipe"):
                lye = make_lye(sized, steps, sized_here=recipe.by_share, expected_loss_pct=expected_loss_pct,
                               book=book, dispersed=dispersed)
                batter = batter_of(lye, measured_density=batter_density, book=book)
            division = divide(batter, parts, stirred, residue=residue, scale=scale, mould=mould,
                              arrangement=arrangement, loss_pct=expected_loss_pct, overflow=overflow_mould,
                              pot_mixes=count)
            before, dispersed = dispersed, as_weighed_in(dispersed, division.additions)
            if dispersed == before:
                break
            # a dose that went down for its limit brings less oil, and the alkali follows what is weighed
            if book.lines is not None:
                del book.lines[lines:]
        with gather() as checks, checks.at("cut"):
            cuts = None if cut is None else cut_of(cut, mould, division, expected_loss_pct)
        return _Made(lye, batter, division, cuts, bars_of(division, arrangement=arrangement, cuts=cuts))

    count, needed, mixes = 0, 1, None
    while needed > count:
        count, book = needed, Book() if workings else SILENT
        if pot_volume_ml is not None:  # first: what a scale does not show of one mix is refused in the words of one mix
            mixes = one_of_mixes(sized, scale, count, sized_here=recipe.by_share, additions=additions,
                                 batter_density=batter_density, loss_pct=expected_loss_pct)
        first = made(sized, parts, additions, count, book)
        needed = mixes_needed(first.division.pot_volume_ml, pot_volume_ml)
    check_loss_of_pieces(first.division, first.bars)
    base_parts = given_parts if recipe.by_share else by_share_where_by_mass(parts, first.batter, additions, residue)

    def with_other(doses: Mapping[tuple[str | None, str], float]) -> Replanned:
        other, stirred = with_doses(base_parts, additions, doses)
        again = base
        if recipe.by_share:
            unrounded = make_potful(base, EXACT, dispersed=dispersed_oil(base, EXACT, stirred))
            again, other = _sized(base, batter_of(unrounded, measured_density=batter_density), mould,
                                  other, stirred, residue, arrangement)
        return made(again, other, stirred, count).judged

    limits_held = with_largest_doses(first.judged, with_other)
    bench = bench_of(first.division, scale, limits_held)
    rows = weigh_list(first.lye, scale, first.division, bench.dispersions, mixes=count)
    faded = None if put is None else fade_of_division(put, first.division)
    return Plan(recipe=sized, lye=first.lye, batter=first.batter,
                vessels=vessels_for(first.lye, first.division.pot_volume_ml) if mixes is None else mixes.vessels,
                division=with_superfats(first.division, first.lye.superfat), bottles=set_out(rows, first.division),
                fill=filled(mould, first.division, arrangement), arrangement=arrangement, cuts=first.cuts,
                expected_loss_pct=expected_loss_pct, mixes=mixes,
                weigh_list=rows,
                cautions=(*caution_texts.of_lye(first.lye if mixes is None else mixes.lye, at="/recipe"),
                          *caution_texts.of_mixes(count),
                          *caution_texts.of_division(first.division, limits_held, sized_to_mould=recipe.by_share,
                                                    carried=_carried_by(fade), mixes=count),
                          *(() if faded is None else faded.cautions)),
                bench=bench, workings=tuple(book.lines or ()), fade=faded)


def _carried_by(fade: BatchFade | None) -> frozenset[str]:
    """Colourants of a fade, which are meant to be carried over. [keys]"""
    if fade is None:
        return frozenset()
    return frozenset(one.key for one in (fade.colourant, fade.other_colourant) if one is not None)


@dataclass(frozen=True, slots=True)
class _Made:
    """A batch of a size, on the scale."""

    lye: Lye
    batter: Batter
    division: Division
    cuts: Cuts | None
    bars: tuple[BarMix, ...]

    @property
    def judged(self) -> Replanned:
        return Replanned(self.division, judge_limits(self.division, self.bars))


def _sized(base: Recipe, batter: Batter, mould: Mould, parts: Sequence[Portion], additions: Sequence[Addition],
           residue: Residue | None, arrangement: str) -> tuple[Recipe, tuple[Portion, ...]]:
    """A recipe at the size that fills a mould, and its portions by share."""
    factor = factor_to_fill(batter, mould.volume_ml, parts, additions, residue=residue, mould=mould,
                            arrangement=arrangement)
    return scaled(base, factor), shares_of_layers(parts, batter, additions, residue=residue, mould=mould)
