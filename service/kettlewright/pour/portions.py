"""The batter shared out: what goes into each bucket, what is stirred in, where each layer lies."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from kettlewright import limits
from kettlewright.errors import DomainError, Faults, Unsolvable, gather
from kettlewright.names import slug
from kettlewright.pour.additions import Addition, WeighedAddition, weigh_addition
from kettlewright.pour.batter import Batter
from kettlewright.pour.moulds import Mould
from kettlewright.recipe.ingredients import check_shares
from kettlewright.recipe.weighing import Scale, round_down, round_nearest

__all__ = ["ARRANGEMENTS", "Division", "Dusting", "Layer", "Portion", "Poured", "Residue", "WeighedDusting",
           "WeighedPortion", "check_fits", "divide", "pour_exactly", "whole_batch"]

ARRANGEMENTS = ("layers", "mingled")


@dataclass(frozen=True, slots=True)
class Dusting:
    """Powder sifted on top of a layer.

    Parameters
    ----------
    name : str
        The powder. [text]
    coverage : float
        How much of it. [g/m2]
    """

    name: str
    coverage: float

    def __post_init__(self) -> None:
        limits.COVERAGE.check(self.coverage, "coverage")


@dataclass(frozen=True, slots=True)
class Residue:
    """Batter that never reaches the mould.

    Parameters
    ----------
    pot_g, portion_g : float
        Left in the pot, and in each bucket. [g]
    """

    pot_g: float = 0.0
    portion_g: float = 0.0

    def __post_init__(self) -> None:
        limits.KEEPS_BACK.check(self.pot_g, "pot")
        limits.KEEPS_BACK.check(self.portion_g, "portion")


@dataclass(frozen=True, slots=True)
class Portion:
    """One bucket, in pour order from the bottom.

    Parameters
    ----------
    name : str
        The maker's name for it. [text]
    share_pct : float, optional
        Of the pot less its residue; else `mass_g`. [%]
    mass_g : float, optional
        The full bucket, own additions included. [g]
    additions : tuple of Addition
        Stirred into this bucket. [additions]
    dusting : Dusting, optional
        Sifted on top of it. [powder]
    colour : str, optional
        For the picture, "#rrggbb". [text]

    Raises
    ------
    Faults : both or none of share and mass, a doubled addition, a colour that is none.
    """

    name: str
    share_pct: float | None = None
    mass_g: float | None = None
    additions: tuple[Addition, ...] = ()
    dusting: Dusting | None = None
    colour: str | None = None

    def __post_init__(self) -> None:
        with gather() as checks:
            with checks.at():
                if (self.share_pct is None) == (self.mass_g is None):
                    given = "neither was" if self.mass_g is None else "both were"
                    raise DomainError(f'Give a portion either "share_pct" or "mass"; {given} given.',
                                      field=("share_pct",))
            with checks.at():
                if self.share_pct is not None:
                    limits.SHARE_PCT.check(self.share_pct, "share_pct")
            with checks.at():
                if self.mass_g is not None:
                    limits.MASS.check(self.mass_g, "mass")
            with checks.at("additions"):
                check_distinct([addition.key for addition in self.additions], "addition")

    @property
    def key(self) -> str:
        """A slug of the name. [key]"""
        return slug(self.name)


def check_distinct(keys: Sequence[str], what: str) -> None:
    """Refuse a key that stands twice (`keys` [keys], `what` they are [text]).

    Raises
    ------
    DomainError : names the second place.
    """
    for index, key in enumerate(keys):
        if key in keys[:index]:
            raise DomainError(f'There are two of "{key}"; give each {what} a name of its own.', field=(index, "name"),
                              value=key)


@dataclass(frozen=True, slots=True)
class Layer:
    """Where a portion lies in the mould.

    Parameters
    ----------
    bottom_mm, top_mm : float
        Heights in each cavity. [mm]
    """

    bottom_mm: float
    top_mm: float


@dataclass(frozen=True, slots=True)
class WeighedDusting:
    """Powder to sift.

    Parameters
    ----------
    name : str
        The powder. [text]
    mass_g, weigh_g : float
        Exact, and on the scale. [g]
    area_cm2 : float
        Surface it covers, all cavities. [cm2]
    """

    name: str
    mass_g: float
    weigh_g: float
    area_cm2: float

    @property
    def key(self) -> str:
        """A slug of the name. [key]"""
        return slug(self.name)


@dataclass(frozen=True, slots=True)
class WeighedPortion:
    """One bucket to fill.

    Parameters
    ----------
    portion : Portion
        As asked. [portion]
    batter_mass_g, weigh_g : float
        Plain batter (the batch's additions in it): exact, and on the scale. [g]
    mass_g, volume_ml : float
        The full bucket. [g, mL]
    additions : tuple of WeighedAddition
        Stirred in. [g]
    dusting : WeighedDusting, optional
        Sifted on top. [g]
    layer : Layer, optional
        Where it lies, in a mould of known form. [mm]
    """

    portion: Portion
    batter_mass_g: float
    weigh_g: float
    mass_g: float
    volume_ml: float
    additions: tuple[WeighedAddition, ...]
    dusting: WeighedDusting | None
    layer: Layer | None

    @property
    def key(self) -> str:
        """A slug of the name. [key]"""
        return self.portion.key

    @property
    def name(self) -> str:
        """The maker's name. [text]"""
        return self.portion.name

    @property
    def colour(self) -> str | None:
        """For the picture. [text]"""
        return self.portion.colour


@dataclass(frozen=True, slots=True)
class Division:
    """The whole batch, shared out.

    Parameters
    ----------
    pot_mass_g, pot_volume_ml : float
        In the pot, the batch's additions in it. [g, mL]
    additions : tuple of WeighedAddition
        The batch's own. [g]
    portions : tuple of WeighedPortion
        In pour order. [g]
    residue_mass_g : float
        What stays in the pot: its residue, and what is below one step of the scale. [g]
    mould_mass_g, mould_volume_ml : float
        What the mould receives; powders have mass, no volume. [g, mL]
    mould : Mould, optional
        Where it goes. [mould]
    missing_depth_mm : float, optional
        From the top layer to the fill limit, where known. [mm]
    loss_pct : float, optional
        Loss in cure that the limits are judged with, where any has one. [% of batter]
    """

    pot_mass_g: float
    pot_volume_ml: float
    additions: tuple[WeighedAddition, ...]
    portions: tuple[WeighedPortion, ...]
    residue_mass_g: float
    mould_mass_g: float
    mould_volume_ml: float
    mould: Mould | None
    missing_depth_mm: float | None
    loss_pct: float | None


@dataclass(frozen=True, slots=True)
class _Bucket:
    """One portion, exact. [g, mL]"""

    plain_g: float
    fats_g: float | None
    own_g: tuple[float, ...]
    mass_g: float
    volume_ml: float
    mould_g: float
    mould_ml: float


@dataclass(frozen=True, slots=True)
class Poured:
    """The batch shared out on exact masses.

    Parameters
    ----------
    pot_g, pot_ml : float
        In the pot, the batch's additions in it. [g, mL]
    additions_g : tuple of float
        The batch's own additions. [g]
    buckets : tuple
        One for each portion. [g, mL]
    """

    pot_g: float
    pot_ml: float
    additions_g: tuple[float, ...]
    buckets: tuple[_Bucket, ...]

    @property
    def mould_ml(self) -> float:
        """What the mould receives. [mL]"""
        return math.fsum(bucket.mould_ml for bucket in self.buckets)

    @property
    def mould_g(self) -> float:
        """What the mould receives, powders not counted. [g]"""
        return math.fsum(bucket.mould_g for bucket in self.buckets)


def whole_batch() -> tuple[Portion, ...]:
    """The one portion of a batch that names none. [portions]"""
    return (Portion(name="batter", share_pct=100.0),)


def pour_exactly(batter: Batter, portions: Sequence[Portion], additions: Sequence[Addition] = (), *,
                 residue: Residue | None = None) -> Poured:
    """Share a batter out, before any rounding.

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

    Returns
    -------
    Poured : [g, mL]

    Raises
    ------
    Faults, Unsolvable : nothing left for the mould, additions heavier than their portion, a dose on unknown fats.
    """
    residue = residue or Residue()
    with gather() as checks:
        added = []
        for index, addition in enumerate(additions):
            with checks.at("additions", index):
                added.append(addition.mass_in(batter_g=batter.mass_g, fats_g=batter.fats_mass_g))
    in_pot = [(addition, mass) for addition, mass in zip(additions, added, strict=True) if addition.in_batter]
    if math.fsum(mass for _, mass in in_pot) > batter.mass_g:
        raise Unsolvable("The additions of the batch weigh more than its batter; check the doses and their basis.",
                         field=("additions",))
    pot_g = batter.mass_g + math.fsum(mass for _, mass in in_pot)
    pot_ml = batter.volume_ml + math.fsum(mass / (addition.density or batter.density) for addition, mass in in_pot)
    available = pot_g - residue.pot_g
    if available <= 0:
        raise Unsolvable(f"A residue of {residue.pot_g:.6g} g leaves nothing of {pot_g:.6g} g in the pot.",
                         field=("residue", "pot"), value=residue.pot_g, allowed=f"below {pot_g:.6g} g")
    fats_share = None if batter.fats_mass_g is None else batter.fats_mass_g / pot_g
    buckets = []
    with gather() as checks:
        for index, portion in enumerate(portions):
            with checks.at("portions", index):
                buckets.append(_bucket(portion, available, fats_share, pot_g / pot_ml, residue.portion_g))
    return Poured(pot_g, pot_ml, tuple(added), tuple(buckets))


def _bucket(portion: Portion, available_g: float, fats_share: float | None, density: float,
            stays_g: float) -> _Bucket:
    stirred = [addition for addition in portion.additions if addition.in_batter]
    if portion.share_pct is not None:
        plain = available_g * portion.share_pct / 100
    else:
        # the full bucket is given; its doses grow with the plain batter, so it follows from one equation
        rate = math.fsum(addition.per_batter + addition.per_fats * (fats_share or 0.0) for addition in stirred)
        plain = ((portion.mass_g or 0.0) - math.fsum(addition.fixed_g for addition in stirred)) / (1 + rate)
    fats = None if fats_share is None else plain * fats_share
    with gather() as checks:
        own = []
        for index, addition in enumerate(portion.additions):
            with checks.at("additions", index):
                own.append(addition.mass_in(batter_g=max(plain, 0.0), fats_g=fats))
    inside = [(addition, mass) for addition, mass in zip(portion.additions, own, strict=True) if addition.in_batter]
    added = math.fsum(mass for _, mass in inside)
    if plain <= 0 or added > plain:
        raise Unsolvable(f'The additions of "{portion.name}" weigh {added:.6g} g, more than its plain batter '
                         f"({max(plain, 0.0):.6g} g); check the doses and their basis.", field=("additions",))
    mass = plain + added
    if stays_g >= mass:
        raise Unsolvable(f'A residue of {stays_g:.6g} g leaves nothing of the {mass:.6g} g of "{portion.name}".',
                         value=stays_g, allowed=f"a residue below {mass:.6g} g")
    volume = plain / density + math.fsum(m / (addition.density or density) for addition, m in inside)
    return _Bucket(plain, fats, tuple(own), mass, volume, mass - stays_g, volume * (mass - stays_g) / mass)


def divide(batter: Batter, portions: Sequence[Portion], additions: Sequence[Addition] = (), *,
           residue: Residue | None = None, scale: Scale, mould: Mould | None = None, arrangement: str = "layers",
           loss_pct: float | None = None) -> Division:
    """Share a batter out: buckets, doses, powders and layers.

    Parameters
    ----------
    batter : Batter
        Before any addition. [g, g/mL]
    portions : sequence of Portion, length n >= 1
        In pour order; all by share or all by mass. [portions]
    additions : sequence of Addition
        The batch's own, into the pot. [additions]
    residue : Residue, optional
        What stays behind. [g]
    scale : Scale
        Steps of the scales. [g]
    mould : Mould, optional
        Where it goes; layers and powders need it. [mould]
    arrangement : str
        "layers" (flat) or "mingled" (swirled: masses, no heights). [key]
    loss_pct : float, optional
        Loss in cure; a limit needs it. [% of batter]

    Returns
    -------
    Division : pot = plain batter of the buckets + residue; buckets = plain batter + own additions;
        mould = buckets - their residue + powders. [g, mL, mm]

    Raises
    ------
    Faults, Unsolvable : shares that miss 100, masses that miss the pot, powder without a surface.
    """
    residue = residue or Residue()
    with gather() as checks:
        with checks.at("portions"):
            _check_sizing(portions)
        with checks.at("portions"):
            check_distinct([portion.key for portion in portions], "portion")
        with checks.at("additions"):
            check_distinct([addition.key for addition in additions], "addition")
        with checks.at():
            _check_surfaces(portions, mould, arrangement)
        with checks.at():
            _check_loss_known(portions, additions, loss_pct)
    exact = pour_exactly(batter, portions, additions, residue=residue)
    available = exact.pot_g - residue.pot_g
    _check_used_up(portions, exact, available, scale)
    plain = [bucket.plain_g for bucket in exact.buckets]
    weighs = _largest_remainder(plain, round_down(min(available, math.fsum(plain)), scale.readability_g),
                                scale.readability_g)
    cured = 1 - (loss_pct or 0.0) / 100
    weighed_additions = _weigh_all(additions, exact.additions_g, batter.mass_g * cured, scale)
    weighed = []
    below_ml = 0.0
    for portion, bucket, weigh in zip(portions, exact.buckets, weighs, strict=True):
        layer = _layer(mould, arrangement, below_ml, below_ml + bucket.mould_ml)
        below_ml += bucket.mould_ml
        weighed.append(WeighedPortion(
            portion=portion, batter_mass_g=bucket.plain_g, weigh_g=weigh, mass_g=bucket.mass_g,
            volume_ml=bucket.volume_ml, additions=_weigh_all(portion.additions, bucket.own_g,
                                                            bucket.plain_g * cured, scale),
            dusting=_dust(portion, mould, layer, scale), layer=layer))
    powder = math.fsum(portion.dusting.mass_g for portion in weighed if portion.dusting is not None)
    top = weighed[-1].layer.top_mm if weighed[-1].layer is not None else \
        (mould.height_of(below_ml) if mould is not None and mould.fill_height_mm is not None else None)
    missing = None if top is None or mould is None or mould.fill_height_mm is None else mould.fill_height_mm - top
    return Division(
        pot_mass_g=exact.pot_g, pot_volume_ml=exact.pot_ml, additions=weighed_additions, portions=tuple(weighed),
        residue_mass_g=exact.pot_g - math.fsum(weighs), mould_mass_g=exact.mould_g + powder,
        mould_volume_ml=exact.mould_ml, mould=mould, missing_depth_mm=missing, loss_pct=loss_pct)


def _check_sizing(portions: Sequence[Portion]) -> None:
    if not portions:
        raise DomainError("Give at least one portion, or leave the portions out.")
    by_share = [portion.share_pct is not None for portion in portions]
    if any(by_share) and not all(by_share):
        raise DomainError('Some portions have "share_pct" and some "mass"; give all of them the same.')
    if all(by_share):
        check_shares([portion.share_pct or 0.0 for portion in portions], "portions")


def _check_surfaces(portions: Sequence[Portion], mould: Mould | None, arrangement: str) -> None:
    if arrangement not in ARRANGEMENTS:
        raise DomainError(f'"{arrangement}" is no arrangement known here; it is one of {", ".join(ARRANGEMENTS)}.',
                          field=("arrangement",), value=arrangement, allowed=", ".join(ARRANGEMENTS))
    faults = []
    for index, portion in enumerate(portions):
        if portion.dusting is None:
            continue
        if arrangement != "layers":
            detail = "Swirled batter has no flat layers to dust; stir the powder in as an addition."
        elif mould is None:
            detail = "How much powder a layer takes follows from its surface: give the mould."
        elif mould.fill_height_mm is None:
            detail = 'How much powder a layer takes follows from its surface: give the measured mould its "depth".'
        else:
            continue
        faults.append(Unsolvable(detail, field=("portions", index, "dusting")))
    if faults:
        raise Faults(faults)


def _check_loss_known(portions: Sequence[Portion], additions: Sequence[Addition], loss_pct: float | None) -> None:
    limited = [*additions, *(addition for portion in portions for addition in portion.additions)]
    if loss_pct is None and any(addition.limit_pct is not None for addition in limited):
        raise Unsolvable('A "limit_pct" holds on the cured bar: give "expected_loss_pct", the loss in cure. Without '
                         "it the most that may go in cannot be told.", field=("expected_loss_pct",))


def _check_used_up(portions: Sequence[Portion], exact: Poured, available_g: float, scale: Scale) -> None:
    if portions[0].share_pct is not None:
        return
    off = math.fsum(bucket.plain_g for bucket in exact.buckets) - available_g
    if abs(off) > scale.readability_g * (1 + 1e-9):
        word = "more" if off > 0 else "less"
        raise Unsolvable(f"The portions take {abs(off):.6g} g {word} plain batter than the {available_g:.6g} g the pot "
                         "gives (its residue taken off); they must use it up within one step of the scale.",
                         field=("portions",))


def check_fits(batter: Batter, portions: Sequence[Portion], additions: Sequence[Addition] = (), *, mould: Mould,
               scale: Scale, residue: Residue | None = None) -> None:
    """Refuse more batter than the mould takes.

    Parameters
    ----------
    batter : Batter
        Exact, before any addition. [g, g/mL]
    portions, additions : sequences
        As for `divide`. [portions, additions]
    mould : Mould
        Where it goes. [mould]
    scale : Scale
        One step of it is overlooked. [g]
    residue : Residue, optional
        What stays behind. [g]

    Raises
    ------
    Unsolvable : names the excess.
    """
    exact = pour_exactly(batter, portions, additions, residue=residue)
    over_g = (exact.mould_ml - mould.volume_ml) * exact.mould_g / exact.mould_ml
    if over_g > scale.readability_g * (1 + 1e-9):
        raise Unsolvable(
            f"The batch overfills the mould by {over_g:.6g} g: {exact.mould_g:.6g} g is to be poured, and up to its "
            f"headspace the mould takes {exact.mould_g - over_g:.6g} g. Make less, or use a larger mould.",
            field=("mould",), value=exact.mould_g, allowed=f"at most {exact.mould_g - over_g:.6g} g")


def _largest_remainder(masses_g: Sequence[float], total_g: float, step_g: float) -> list[float]:
    """Whole steps that add up to `total_g`, each within a step of its mass."""
    exact = [mass / step_g for mass in masses_g]
    steps = [math.floor(value + 1e-9) for value in exact]
    left = round(total_g / step_g) - sum(steps)
    by_remainder = sorted(range(len(steps)), key=lambda index: exact[index] - steps[index], reverse=left > 0)
    for index in by_remainder[:abs(left)]:
        steps[index] += 1 if left > 0 else -1
    return [count * step_g for count in steps]


def _weigh_all(additions: Sequence[Addition], masses_g: Sequence[float], plain_cured_g: float,
               scale: Scale) -> tuple[WeighedAddition, ...]:
    together = math.fsum(m for a, m in zip(additions, masses_g, strict=True) if a.in_batter)
    return tuple(weigh_addition(addition, mass, step_g=scale.dose_readability_g,
                                rest_cured_g=plain_cured_g + together - (mass if addition.in_batter else 0.0))
                 for addition, mass in zip(additions, masses_g, strict=True))


def _layer(mould: Mould | None, arrangement: str, below_ml: float, up_to_ml: float) -> Layer | None:
    if mould is None or mould.fill_height_mm is None or arrangement != "layers":
        return None
    brim = mould.brim_volume_ml  # one step of overfill is let pass above; it cannot stand above the rim
    return Layer(bottom_mm=mould.height_of(min(below_ml, brim)), top_mm=mould.height_of(min(up_to_ml, brim)))


def _dust(portion: Portion, mould: Mould | None, layer: Layer | None, scale: Scale) -> WeighedDusting | None:
    if portion.dusting is None or mould is None or layer is None:
        return None
    area = mould.area_at(layer.top_mm)
    mass = portion.dusting.coverage * area / 10_000
    return WeighedDusting(name=portion.dusting.name, mass_g=mass,
                          weigh_g=round_nearest(mass, scale.dose_readability_g), area_cm2=area)
