"""A batter shared out into buckets, and what the bench needs for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright import cautions as caution_texts
from kettlewright import limits
from kettlewright.cautions import Caution
from kettlewright.errors import Unsolvable, gather
from kettlewright.pour import (
    Addition,
    Batter,
    Division,
    LimitCheck,
    MadeDispersion,
    MixingStep,
    Mould,
    Portion,
    Replanned,
    Residue,
    bars_of,
    bucket_order,
    check_dispersions,
    check_fits,
    check_loss_of_pieces,
    dispersions_of,
    divide,
    judge_limits,
    mixing_order,
    shares_of_pour,
    with_doses,
    with_largest_doses,
)
from kettlewright.recipe import (
    Scale,
)

__all__ = ["Bench", "PortionPlan", "bench_of", "by_share_where_by_mass", "check_counts", "check_jars", "counts_of",
           "plan_portions"]


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
        Ingredients compared with their limits. [% of cured bar]
    bucket_order : tuple of str
        In which order to fill and stir the buckets. [keys]
    """

    dispersions: tuple[MadeDispersion, ...]
    mixing_order: tuple[MixingStep, ...]
    limits: tuple[LimitCheck, ...]
    bucket_order: tuple[str, ...]


def bench_of(division: Division, scale: Scale, checks: tuple[LimitCheck, ...]) -> Bench:
    """What buckets need besides their weighings.

    Parameters
    ----------
    division : Division
        The buckets. [g]
    scale : Scale
        Steps of the scales. [g]
    checks : tuple of LimitCheck
        Ingredients compared with their limits. [% of cured bar]

    Returns
    -------
    Bench : [g]
    """
    return Bench(dispersions_of(division, step_g=scale.dose_readability_g), mixing_order(division), checks,
                 bucket_order(division))


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
        Dispersions, mixing order, and limits. [g]
    """

    division: Division
    cautions: tuple[Caution, ...]
    bench: Bench


def plan_portions(batter: Batter, portions: Sequence[Portion], scale: Scale, *, additions: Sequence[Addition] = (),
                  residue: Residue | None = None, mould: Mould | None = None, arrangement: str = "layers",
                  expected_loss_pct: float | None = None) -> PortionPlan:
    """A batter shared out into buckets.

    Parameters
    ----------
    batter, portions, scale, additions, residue, mould, arrangement
        As for `pour.divide`. [g, mm]
    expected_loss_pct : float, optional
        Loss in cure. [% of a piece as cut]

    Returns
    -------
    PortionPlan : [g, mm]

    Raises
    ------
    DomainErrors, DomainError : whatever `pour.divide` refuses, and more batter than the mould takes.
    """
    check_counts(portions, additions)
    check_jars(portions, additions)

    def shared_out(parts: Sequence[Portion], stirred: Sequence[Addition]) -> Replanned:
        if mould is not None:
            check_fits(batter, parts, stirred, mould=mould, scale=scale, residue=residue, arrangement=arrangement)
        division = divide(batter, parts, stirred, residue=residue, scale=scale, mould=mould,
                          arrangement=arrangement, loss_pct=expected_loss_pct)
        # how the block will be cut is not known here; but a piece of its own is a bar
        bars = bars_of(division, arrangement=arrangement) if arrangement == "separate" else ()
        return Replanned(division, judge_limits(division, bars))

    first = shared_out(portions, additions)
    check_loss_of_pieces(first.division)
    by_share = by_share_where_by_mass(portions, batter, additions, residue)
    checks = with_largest_doses(first, lambda doses: shared_out(*with_doses(by_share, additions, doses)))
    return PortionPlan(first.division, caution_texts.of_division(first.division, checks),
                       bench_of(first.division, scale, checks))


def by_share_where_by_mass(portions: Sequence[Portion], batter: Batter, additions: Sequence[Addition],
                           residue: Residue | None) -> tuple[Portion, ...]:
    """Portions in proportion: buckets given by mass cannot keep their mass when a dose changes.

    Parameters
    ----------
    portions : sequence of Portion
        By mass, by share or by depth. [portions]
    batter : Batter
        Before any addition. [g]
    additions : sequence of Addition
        The batch's own. [additions]
    residue : Residue, optional
        What stays behind. [g]

    Returns
    -------
    tuple of Portion : by share where they were by mass. [% of batter]
    """
    if portions[0].mass_g is None:
        return tuple(portions)
    return shares_of_pour(portions, batter, additions, residue=residue)


def check_counts(portions: Sequence[Portion], additions: Sequence[Addition]) -> None:
    """Refuse too many additions: through borrowed batter each may reach every bucket, so all together have a limit.

    Parameters
    ----------
    portions : sequence of Portion
        With their additions and what they borrow. [portions]
    additions : sequence of Addition
        The batch's own. [additions]

    Raises
    ------
    DomainErrors : more than `limits` allows.
    """
    with gather() as checks:
        for count, most, what in counts_of(portions, additions):
            with checks.at("portions"):
                if count > most:
                    raise Unsolvable(f"There are {count:,} {what} in all; a batch takes at most {most}.", value=count,
                                     allowed=f"at most {most}")


def counts_of(portions: Sequence[Portion], additions: Sequence[Addition]) -> tuple[tuple[int, int, str], ...]:
    """How many additions and borrowings there are, how many there may be, and what they are.

    Parameters
    ----------
    portions, additions
        As for `check_counts`. [portions, additions]

    Returns
    -------
    tuple of (int, int, str) : [additions, borrowings]
    """
    return ((len(additions) + sum(len(portion.additions) for portion in portions), limits.ADDITIONS_PER_BATCH_MAX,
             "additions"),
            (sum(len(portion.borrows) for portion in portions), limits.BORROWINGS_PER_BATCH_MAX, "borrowings"))


def check_jars(portions: Sequence[Portion], additions: Sequence[Addition]) -> None:
    """Refuse two different dispersions with one name: they would be one jar.

    Parameters
    ----------
    portions : sequence of Portion
        With their additions. [portions]
    additions : sequence of Addition
        The batch's own. [additions]

    Raises
    ------
    DomainErrors : as `pour.check_dispersions`.
    """
    check_dispersions([*((("additions", index), addition) for index, addition in enumerate(additions)),
                       *((("portions", number, "additions", index), addition)
                         for number, portion in enumerate(portions)
                         for index, addition in enumerate(portion.additions))])
