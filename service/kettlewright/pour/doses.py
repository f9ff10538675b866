"""The doses of a batch on the scale: the mass that each limit allows, and rounding that never exceeds a limit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from kettlewright.copies import replace
from kettlewright.curing import cured_mass
from kettlewright.pour.additions import Addition
from kettlewright.pour.batter import Batter
from kettlewright.pour.buckets import Poured
from kettlewright.pour.cured_mix import Mix, mix_of_pot, mixes_of_buckets
from kettlewright.pour.dilution import Dilution, dilutions_for
from kettlewright.pour.requested_portions import Portion
from kettlewright.pour.weighed_additions import WeighedAddition, largest_within_limit, weigh_addition
from kettlewright.recipe.weighing import round_nearest

__all__ = ["Doses", "lowest_limits", "weigh_doses"]


@dataclass(frozen=True, slots=True)
class Doses:
    """All additions on the scale, and the composition of the buckets with them.

    Parameters
    ----------
    pot : tuple of WeighedAddition
        The batch's own. [g]
    buckets : tuple of tuple of WeighedAddition
        Of each portion. [g]
    mixes : tuple of Mix
        Each bucket at its fullest, exact. [g]
    """

    pot: tuple[WeighedAddition, ...]
    buckets: tuple[tuple[WeighedAddition, ...], ...]
    mixes: tuple[Mix, ...]


def lowest_limits(additions: Iterable[Addition]) -> dict[str, float]:
    """The limit of each ingredient (`additions`), by key: the lowest value, for all doses. [% of cured bar]"""
    found: dict[str, float] = {}
    for addition in additions:
        if addition.limit_pct is not None:
            found[addition.key] = min(addition.limit_pct, found.get(addition.key, addition.limit_pct))
    return found


def weigh_doses(batter: Batter, portions: Sequence[Portion], additions: Sequence[Addition], exact: Poured, *,
                loss_pct: float | None, step_g: float, pot_step_g: float | None = None) -> Doses:
    """Round every addition to the scale.

    Parameters
    ----------
    batter : Batter
        Before any addition. [g]
    portions, additions : sequences
        As for `pour_exactly`. [portions, additions]
    exact : Poured
        Their exact masses. [g]
    loss_pct : float, optional
        Loss in cure, as for `cured_mass`. [% of the piece]
    step_g : float
        Step of the fine scale. [g]
    pot_step_g : float, optional
        Step for the pot's additions if they take several weighings. [g]

    Returns
    -------
    Doses : rounded to the nearest step; if any bucket would then exceed the limit of an ingredient, all doses of that
        ingredient are rounded down, so that no bar of several portions exceeds it either. [g]
    """
    all_of_them = [*additions, *(addition for portion in portions for addition in portion.additions)]
    limits = lowest_limits(addition for addition in all_of_them if addition.in_batter)
    pot = mix_of_pot(batter, additions, exact)
    mixes = mixes_of_buckets(portions, exact, pot)
    pot_step_g = pot_step_g or step_g
    down = _carried_across(batter, portions, additions, exact, limits, loss_pct, step_g, pot_step_g) if limits else \
        frozenset()

    dilutions = _dilutions(portions, additions, exact, step_g, pot_step_g)

    def weighed(where: str | None, addition: Addition, mass: float, mix: Mix,
                step_g: float = step_g) -> WeighedAddition:
        limit = limits.get(addition.key) if addition.in_batter else addition.limit_pct
        return weigh_addition(addition, mass, step_g=step_g, down=addition.key in down,
                              dilution=dilutions.get((where, addition.key)),
                              allowed_g=None if limit is None else _allowed(addition, mass, mix, limit, loss_pct))

    return Doses(tuple(weighed(None, addition, mass, pot, pot_step_g if addition.in_batter else step_g)
                       for addition, mass in zip(additions, exact.additions_g, strict=True)),
                 tuple(tuple(weighed(portion.key, addition, mass, mix)
                             for addition, mass in zip(portion.additions, bucket.own_g, strict=True))
                       for portion, bucket, mix in zip(portions, exact.buckets, mixes, strict=True)), mixes)


def _dilutions(portions: Sequence[Portion], additions: Sequence[Addition], exact: Poured, step_g: float,
               pot_step_g: float) -> dict[tuple[str | None, str], Dilution | None]:
    """Dilutions of doses too small for the scale, by portion and key: one for all doses of an ingredient."""
    stirred: list[tuple[str | None, Addition, float, float]] = [
        (None, addition, mass, pot_step_g) for addition, mass in zip(additions, exact.additions_g, strict=True)]
    for portion, bucket in zip(portions, exact.buckets, strict=True):
        stirred += [(portion.key, addition, mass, step_g)
                    for addition, mass in zip(portion.additions, bucket.own_g, strict=True)]
    by_key: dict[str, list[tuple[str | None, tuple[float, float]]]] = {}
    for where, addition, mass, step in stirred:
        if addition.can_be_diluted:
            by_key.setdefault(addition.key, []).append((where, (mass, step)))
    found: dict[tuple[str | None, str], Dilution | None] = {}
    for key, mine in by_key.items():
        dilutions = dilutions_for([dose for _, dose in mine])
        found.update({(where, key): one for (where, _), one in zip(mine, dilutions, strict=True)})
    return found


def _allowed(addition: Addition, mass_g: float, mix: Mix, limit_pct: float, loss_pct: float | None) -> float | None:
    """The largest dose that keeps its mix within the limit, all other doses unchanged. [g]"""
    inside = mass_g if addition.in_batter else 0.0
    stays = cured_mass(1.0, loss_pct, water_g=addition.water_part)
    return largest_within_limit(limit_pct, mix.cured_g(loss_pct) - inside * stays, pure_part=addition.pure_part,
                                cured_part=stays, already_g=mix.pure_g(addition.key) - inside * addition.pure_part)


def _carried_across(batter: Batter, portions: Sequence[Portion], additions: Sequence[Addition], exact: Poured,
                    limits: Mapping[str, float], loss_pct: float | None, step_g: float,
                    pot_step_g: float) -> frozenset[str]:
    """Ingredients that exceed their limit in a bucket once every dose is rounded to the nearest step. [keys]"""
    def nearest(masses_g: Sequence[float], step_g: float = step_g) -> tuple[float, ...]:
        return tuple(round_nearest(mass, step_g) for mass in masses_g)

    rounded = replace(exact, additions_g=nearest(exact.additions_g, pot_step_g), buckets=tuple(
        replace(bucket, own_g=nearest(bucket.own_g)) for bucket in exact.buckets))
    mixes = mixes_of_buckets(portions, rounded, mix_of_pot(batter, additions, rounded))
    cured = [(mix, mix.cured_g(loss_pct)) for mix in mixes]
    return frozenset(key for mix, cured_g in cured for key, part in mix.parts.items()
                     if key in limits and 100 * part.pure_g > limits[key] * cured_g)
