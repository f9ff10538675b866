"""The content of each bucket before rounding: the requested portions, and the batter divided among them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from kettlewright import amounts, limits
from kettlewright.errors import DomainError, DomainErrors, OutOfRange, Unsolvable, gather
from kettlewright.pour.additions import Addition
from kettlewright.pour.batter import Batter
from kettlewright.pour.layer_batter import layer_volume, plain_for_layer
from kettlewright.pour.mould.moulds import Mould
from kettlewright.pour.requested_portions import Portion, Residue
from kettlewright.said import EnglishText, Said
from kettlewright.settling import settle

__all__ = ["Bucket", "Poured", "lenders_first", "pour_exactly"]



@dataclass(frozen=True, slots=True)
class Bucket:
    """One portion with exact masses.

    Parameters
    ----------
    plain_g : float
        Plain batter from the pot, including the batch's additions. [g]
    fats_g : float, optional
        Fats in that, if known. [g]
    own_g : tuple of float
        The portion's additions. [g]
    borrowed_g : tuple of float
        From each lender, in the order of the request. [g]
    mass_g, volume_ml : float
        The bucket at its fullest: including all of that, before it lends. [g, mL]
    lent_g : float
        Taken from it by others. [g]
    poured_batter_g : float
        Batter left after that, additions of buckets not counted. [g]
    mould_g, mould_ml : float
        The part that reaches the mould. [g, mL]
    """

    plain_g: float
    fats_g: float | None
    own_g: tuple[float, ...]
    borrowed_g: tuple[float, ...]
    mass_g: float
    volume_ml: float
    lent_g: float
    poured_batter_g: float
    mould_g: float
    mould_ml: float


@dataclass(frozen=True, slots=True)
class Poured:
    """The batch divided, with exact masses.

    Parameters
    ----------
    pot_g, pot_ml : float
        In the pot, including the batch's additions. [g, mL]
    additions_g : tuple of float
        The batch's own additions. [g]
    buckets : tuple of Bucket
        One per portion. [g, mL]
    """

    pot_g: float
    pot_ml: float
    additions_g: tuple[float, ...]
    buckets: tuple[Bucket, ...]

    @property
    def mould_ml(self) -> float:
        """Volume that goes into the mould. [mL]"""
        return math.fsum([bucket.mould_ml for bucket in self.buckets])

    @property
    def mould_g(self) -> float:
        """Mass that goes into the mould, powders not counted. [g]"""
        return math.fsum([bucket.mould_g for bucket in self.buckets])


@dataclass(frozen=True, slots=True)
class _MixedPot:
    """The pot that the buckets are filled from. [g/g, g/mL]"""

    fats_share: float | None
    density: float


def pour_exactly(batter: Batter, portions: Sequence[Portion], additions: Sequence[Addition] = (), *,
                 residue: Residue | None = None, mould: Mould | None = None) -> Poured:
    """Divide a batter, before any rounding.

    Parameters
    ----------
    batter : Batter
        Before any addition. [g, g/mL]
    portions : sequence of Portion, length n >= 1
        In pour order. [portions]
    additions : sequence of Addition
        The batch's own, into the pot. [additions]
    residue : Residue, optional
        What stays behind. [g]
    mould : Mould, optional
        The mould; needed for portions by the depth of their layer. [mould]

    Returns
    -------
    Poured : [g, mL]

    Raises
    ------
    DomainErrors, Unsolvable : nothing left for the mould, additions heavier than their portion, a dose on unknown fats,
        buckets that borrow from each other in a circle.

    Notes
    -----
    Shares, masses and depths refer to what is *poured* from a bucket. Of batter, own additions not counted, a bucket
    makes M = P + sum(f_k M_k) over those that borrow f_k of theirs from it, and takes (1 - sum f) M from the pot.
    """
    residue = residue or Residue()
    added = _masses(additions, batter.mass_g, batter.fats_mass_g)
    in_pot = [(addition, mass) for addition, mass in zip(additions, added, strict=True) if addition.in_batter]
    all_added = math.fsum([mass for _, mass in in_pot])
    if all_added > batter.mass_g:
        raise Unsolvable(Said("The additions of the batch weigh more than its batter; check the doses and their "
                              "basis."), field=("additions",))
    pot_g = batter.mass_g + all_added
    pot_ml = batter.volume_ml + math.fsum([mass / (addition.density or batter.density) for addition, mass in in_pot])
    available = pot_g - residue.of_pot_g
    if available <= 0:
        raise Unsolvable(Said("Nothing is left to pour: {stays} stays behind or is kept back, but the pot holds only "
                              "{pot}.", stays=amounts.mass(residue.of_pot_g), pot=amounts.mass(pot_g)),
                         **_stays_too_much(residue, pot_g))
    pot = _MixedPot(None if batter.fats_mass_g is None else batter.fats_mass_g / pot_g, pot_g / pot_ml)
    order = lenders_first(portions)
    layers, poured_g = [], []
    with gather() as checks:
        for index, portion in enumerate(portions):
            try:
                layers.append(layer_volume(portions, index, mould))
                poured_g.append(_first_guess(portion, available, pot, residue.portion_g, layers[-1]))
            except (DomainError, DomainErrors) as error:
                checks.add(error, "portions", index)
    buckets: tuple[Bucket, ...] = ()

    def resized(poured: Sequence[float]) -> list[float]:
        # borrowed batter includes its additions, so a bucket by mass or depth takes less of its own
        nonlocal buckets
        buckets = _mixed(portions, poured, order, pot, residue.portion_g)
        return [_resized(*one, residue.portion_g) for one in zip(portions, poured, buckets, layers, strict=True)]

    if any(portion.borrows for portion in portions):
        settle(resized, poured_g, close=1e-13, what="Batter of buckets that borrow")
    else:
        buckets = _mixed(portions, poured_g, order, pot, residue.portion_g)
    return Poured(pot_g, pot_ml, tuple(added), buckets)


def _masses(additions: Sequence[Addition], batter_g: float, fats_g: float | None) -> list[float]:
    """What each addition weighs in plain batter with these fats. [g]"""
    found = []
    with gather() as checks:
        for index, addition in enumerate(additions):
            try:
                found.append(addition.mass_in(batter_g=batter_g, fats_g=fats_g))
            except (DomainError, DomainErrors) as error:
                checks.add(error, "additions", index)
    return found


def _stays_too_much(residue: Residue, pot_g: float) -> dict[str, Any]:
    """Which of the two is too much, and below what value something is left, with the other unchanged."""
    field, other = ("kept_back", residue.pot_g) if residue.kept_back_g > residue.pot_g else ("pot", residue.kept_back_g)
    return {"field": ("residue", field), "value": residue.kept_back_g if field == "kept_back" else residue.pot_g,
            "allowed": limits.below(amounts.mass(max(pot_g - other, 0.0)))}


def lenders_first(portions: Sequence[Portion]) -> list[int]:
    """Order in which the buckets can be mixed (`portions`, in pour order): their indices. [numbers]

    Raises
    ------
    DomainErrors, Unsolvable : an unknown lender, a portion that borrows from itself, a circle of borrowing.
    """
    if not any(portion.borrows for portion in portions):
        return list(range(len(portions)))
    places = {portion.key: index for index, portion in enumerate(portions)}
    with gather() as checks:
        for index, portion in enumerate(portions):
            for at, borrowing in enumerate(portion.borrows):
                with checks.at("portions", index, "borrows", at, "from"):
                    if borrowing.key not in places:
                        raise OutOfRange(f'There is no portion "{borrowing.lender}" to borrow from; the portions are: '
                                         f"{', '.join(other.name for other in portions)}.", value=borrowing.lender)
                    if borrowing.key == portion.key:
                        raise Unsolvable("A portion cannot borrow from itself.", value=borrowing.lender)
    order: list[int] = []
    while len(order) < len(portions):
        ready = [index for index, portion in enumerate(portions) if index not in order
                 and all(places[borrowing.key] in order for borrowing in portion.borrows)]
        if not ready:
            stuck = next(index for index in range(len(portions)) if index not in order)
            raise Unsolvable("These portions borrow from each other in a circle, so none of them can be mixed first.",
                             field=("portions", stuck, "borrows"))
        order += ready
    return order


def _first_guess(portion: Portion, available_g: float, pot: _MixedPot, stays_g: float, layer_ml: float | None) -> float:
    """Batter poured from a bucket, own additions not counted: exact if nothing is borrowed. [g]"""
    if portion.share_pct is not None:
        return available_g * portion.share_pct / 100
    if layer_ml is not None:
        return plain_for_layer(portion, layer_ml, pot.fats_share, pot.density, stays_g)
    # the full bucket is given, and doses scale with the plain batter: one linear equation
    stirred = [addition for addition in portion.additions if addition.in_batter]
    rate = math.fsum(addition.per_batter + addition.per_fats * (pot.fats_share or 0.0) for addition in stirred)
    return ((portion.mass_g or 0.0) - math.fsum(addition.fixed_g for addition in stirred)) / (1 + rate)


def _resized(portion: Portion, base_g: float, bucket: Bucket, layer_ml: float | None, stays_g: float) -> float:
    """Batter poured from a bucket that gives the requested mass or layer. [g]"""
    if portion.share_pct is not None:
        return base_g
    out_g = bucket.mass_g - bucket.lent_g
    if layer_ml is None:
        return base_g * (portion.mass_g or 0.0) / out_g
    return base_g * (layer_ml + stays_g * bucket.volume_ml / bucket.mass_g) / (out_g / bucket.mass_g * bucket.volume_ml)


def _mixed(portions: Sequence[Portion], poured_g: Sequence[float], order: Sequence[int], pot: _MixedPot,
           stays_g: float) -> tuple[Bucket, ...]:
    """The buckets for given masses of poured batter."""
    places = {portion.key: index for index, portion in enumerate(portions)}
    made_g = list(poured_g)
    for index in reversed(order):  # the batter of a bucket is known once all its borrowers are
        for borrowing in portions[index].borrows:
            made_g[places[borrowing.key]] += borrowing.share_pct / 100 * made_g[index]
    found: dict[int, Bucket] = {}
    with gather() as checks:
        for index in order:
            lenders = [(found.get(places[one.key]), made_g[places[one.key]], one.share_pct / 100 * made_g[index])
                       for one in portions[index].borrows]
            try:
                found[index] = _bucket(portions[index], made_g[index], poured_g[index],
                                       [(lender, base / made) for lender, made, base in lenders if lender is not None],
                                       pot, stays_g)
            except (DomainError, DomainErrors) as error:
                checks.add(error, "portions", index)
    return tuple(found[index] for index in range(len(portions)))


def _bucket(portion: Portion, made_g: float, poured_g: float, lenders: Sequence[tuple[Bucket, float]], pot: _MixedPot,
            stays_g: float) -> Bucket:
    """A bucket with `made_g` of batter, of which `poured_g` is poured; `lenders` with the part taken from each."""
    plain = made_g * (1 - math.fsum([borrowing.share_pct for borrowing in portion.borrows]) / 100)
    fats = None if pot.fats_share is None else plain * pot.fats_share
    own = _masses(portion.additions, max(plain, 0.0), fats)
    inside = [(addition, mass) for addition, mass in zip(portion.additions, own, strict=True) if addition.in_batter]
    added = math.fsum([mass for _, mass in inside])
    if plain <= 0 or added > plain:
        raise Unsolvable(Said('The additions of "{portion}" weigh {added}, more than its plain batter ({plain}); '
                              "check the doses and their basis.", portion=portion.name, added=amounts.mass(added),
                              plain=amounts.mass(max(plain, 0.0))), field=("additions",))
    borrowed = tuple(lender.mass_g * part for lender, part in lenders)
    mass = plain + added + math.fsum(borrowed)
    volume = plain / pot.density + math.fsum([m / (addition.density or pot.density) for addition, m in inside]) \
        + math.fsum([lender.volume_ml * part for lender, part in lenders])
    out = mass * (poured_g / made_g)
    if stays_g >= out:
        raise Unsolvable(Said('Nothing of "{portion}" is left to pour: {stays} stays in the bucket, which holds only '
                              '{out}.',
                              stays=amounts.mass(stays_g), out=amounts.mass(out), portion=portion.name), value=stays_g,
                         allowed=EnglishText("a residue below {out}", out=amounts.at_most(amounts.mass(out))))
    return Bucket(plain, fats, tuple(own), borrowed, mass, volume, mass - out, poured_g, out - stays_g,
                  volume * (out - stays_g) / mass)
