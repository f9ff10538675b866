"""Everything to put on a scale, in the order you do the steps. Each row has fields that say what it is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from kettlewright.copies import replace
from kettlewright.pour import Addition, Division, MadeDispersion, WeighedAddition
from kettlewright.pour.dispersions import carrier_in_words
from kettlewright.recipe import Lye, Scale
from kettlewright.recipe.weighed import WeighedAcid, WeighedAlkali
from kettlewright.said import Said

__all__ = ["BENCH_MADE", "KINDS", "WHERES", "WeighRow", "weigh_list"]

KINDS = ("water", "ice", "alkali", "stock", "acid", "liquid", "fat", "addition", "carrier", "dispersion", "batter",
         "dusting", "spray", "kept_back")
WHERES = ("jug", "pot", "jar", "bucket", "mould", "aside")
BENCH_MADE = ("dispersion", "batter", "kept_back")
"""Kinds that are made on the bench of other rows, so that nobody buys them."""

_VINEGAR_UP_TO_PCT = 15  # stronger acetic acid is no vinegar (common practice, no source)
_SOLUTION_UP_TO_PCT = 90  # with less than a tenth of water it is described by its purity (own decision)


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighRow:
    """One weighing. `where`, `portion`, `kind`, `key` and `lot` together name no other row of the same weigh list.

    Parameters
    ----------
    kind : str
        What it is, one of `KINDS`. [key]
    where : str
        The vessel it goes into, one of `WHERES`: what is sifted or sprayed on top goes into the mould. [key]
    portion : str, optional
        Key of its portion; None for the whole batch. [key]
    key, name : str
        What. Both rows of a jar have the key of the addition that is dispersed in it; batter has the key of the
        portion it comes from, and where it is borrowed that is not `portion`. [text]
    form : str, optional
        What the bottle holds, where the name does not say it: its strength, that it is frozen. [text]
    lot : str, optional
        Lot number. [text]
    weigh_g : float
        On the scale. [g]
    step_g : float
        Step of the scale it is weighed on. [g]
    fine : bool
        On the fine scale: the row is in the unit of doses. [yes or no]
    buy : str, optional
        Key of the item in prices and packs; none for what is made on the bench. [key]
    each_mix_g : float, optional
        On the scale for each mix, where the batch is made in several; none of what is weighed once. [g]
    take_g : float, optional
        Of its dilution, in place of `weigh_g`, where the dose is too little for the scale; for each mix where
        `each_mix_g` is. [g]
    index : int
        Its place in the list of the recipe, the batch, the portion or the jars that it comes from. [place]
    """

    kind: str
    where: str
    portion: str | None = None
    key: str
    name: str
    form: str | None = None
    lot: str | None = None
    weigh_g: float
    step_g: float
    fine: bool = False
    buy: str | None = None
    each_mix_g: float | None = None
    take_g: float | None = None
    index: int = 0

    @property
    def identity(self) -> tuple[str, str | None, str, str, str | None]:
        """The fields that identify the row: where, portion, kind, key, lot. [keys]"""
        return self.where, self.portion, self.kind, self.key, self.lot

    @property
    def borrowed(self) -> bool:
        """Whether it is batter from another portion's bucket. [yes or no]"""
        return self.kind == "batter" and self.key != self.portion


def weigh_list(lye: Lye, scale: Scale, division: Division | None = None,
               dispersions: Sequence[MadeDispersion] = (), *, mixes: int = 1) -> tuple[WeighRow, ...]:
    """Bench order: the jug first, so that the lye cools while the fats melt; alkali after the water it goes into.

    Parameters
    ----------
    lye : Lye
        The weighed recipe. [lye]
    scale : Scale
        What it was weighed on. [g]
    division : Division, optional
        The buckets, if any. [portions]
    dispersions : sequence of MadeDispersion
        Jars for them, made while the lye cools. [g]
    mixes : int
        In how many equal mixes jug and pot are weighed. [mixes]

    Returns
    -------
    tuple of WeighRow : common practice, no source, but for water before alkali (safety data sheets). [g]
    """
    rows = [*_jug(lye, scale), *_pot(lye, scale)]
    if division is None:
        return _in_mixes(rows, mixes)
    coarse, fine = scale.readability_g, scale.dose_readability_g
    for number, jar in enumerate(dispersions):
        rows += _jar(jar, number, fine)
    rows += [_addition(one, index, fine, None) for index, one in enumerate(division.additions)]
    if division.kept_back is not None:
        rows.append(WeighRow(kind="kept_back", where="aside", key="kept_back", name=Said("plain batter to keep back"),
                             weigh_g=division.kept_back.weigh_g, step_g=coarse))
    for number, portion in enumerate(division.portions):
        rows.append(WeighRow(kind="batter", where="bucket", portion=portion.key, key=portion.key, index=number,
                             name=_batter_for(portion.name), weigh_g=portion.weigh_g, step_g=coarse))
        rows += [WeighRow(kind="batter", where="bucket", portion=portion.key, key=one.key, index=index,
                          name=Said("batter from {portion}", portion=one.name), weigh_g=one.weigh_g, step_g=coarse)
                 for index, one in enumerate(portion.borrowed)]
        rows += [_addition(one, index, fine, portion.key) for index, one in enumerate(portion.additions)]
        if portion.dusting is not None:
            dust = portion.dusting
            rows.append(WeighRow(kind="dusting", where="mould", portion=portion.key, key=dust.key, name=dust.name,
                                 weigh_g=dust.weigh_g, step_g=fine, fine=True, buy=dust.key))
    return _in_mixes(rows, mixes)


def _batter_for(portion: str | Said) -> Said:
    """Batter for a named portion; where the whole batch goes into one, its name is already "batter". [text]"""
    return portion if isinstance(portion, Said) else Said("batter for {portion}", portion=portion)


def _in_mixes(rows: Iterable[WeighRow], mixes: int) -> tuple[WeighRow, ...]:
    return tuple(row if mixes == 1 or row.where not in ("jug", "pot") else replace(
        row, each_mix_g=row.weigh_g / mixes, take_g=None if row.take_g is None else row.take_g / mixes) for row in rows)


def _jug(lye: Lye, scale: Scale) -> Iterator[WeighRow]:
    coarse = scale.readability_g
    ice = 0.0 if lye.ice is None else lye.ice.weigh_g
    yield WeighRow(kind="water", where="jug", key="water", name=Said("water"), weigh_g=lye.water.weigh_g - ice,
                   step_g=coarse, buy="water")
    if ice:
        yield WeighRow(kind="ice", where="jug", key="ice", name=Said("ice, of water"), form=Said("frozen"), weigh_g=ice,
                       step_g=coarse, buy="water")
    for index, liquid in enumerate(lye.liquids):
        yield WeighRow(kind="liquid", where="jug", key=liquid.key, name=liquid.name, lot=liquid.lot, index=index,
                       form=Said("frozen") if liquid.portion.frozen else None, weigh_g=liquid.weigh_g, step_g=coarse,
                       buy=liquid.key)
    for index, acid in enumerate(lye.acids):
        if not acid.acid.fatty:
            yield _acid(acid, index, "jug", scale.dose_readability_g)
    for index, alkali in enumerate(lye.alkalis):
        stock = alkali.portion.stock is not None
        yield WeighRow(kind="stock" if stock else "alkali", where="jug", key=alkali.key, lot=alkali.lot, index=index,
                       name=Said("{alkali} stock", alkali=alkali.name) if stock else alkali.name,
                       form=_form_of_alkali(alkali), weigh_g=alkali.weigh_g, step_g=scale.alkali_readability_g,
                       buy=f"{alkali.key}_stock" if stock else alkali.key)


def _pot(lye: Lye, scale: Scale) -> Iterator[WeighRow]:
    for index, fat in enumerate(lye.fats):
        yield WeighRow(kind="fat", where="pot", key=fat.key, name=fat.name, lot=fat.lot, weigh_g=fat.weigh_g,
                       step_g=scale.readability_g, buy=fat.key, index=index)
    for index, acid in enumerate(lye.acids):
        if acid.acid.fatty:
            yield _acid(acid, index, "pot", scale.dose_readability_g)


def _acid(acid: WeighedAcid, index: int, where: str, step_g: float) -> WeighRow:
    return WeighRow(kind="acid", where=where, key=acid.key, name=acid.name, form=_form_of_acid(acid), lot=acid.lot,
                    weigh_g=acid.weigh_g, step_g=step_g, fine=True, buy=acid.key, index=index)


def _jar(jar: MadeDispersion, number: int, step_g: float) -> tuple[WeighRow, WeighRow]:
    """A dry addition and its carrier: two rows with the addition's key, so two jars of one oil stay apart."""
    return (WeighRow(kind="addition", where="jar", key=jar.key, name=jar.name, form=Said("dry"), lot=jar.lot,
                     weigh_g=jar.dry_weigh_g, step_g=step_g, fine=True, buy=jar.key, index=number),
            WeighRow(kind="carrier", where="jar", key=jar.key, name=jar.carrier_name, weigh_g=jar.carrier_weigh_g,
                     step_g=step_g, fine=True, buy=jar.carrier_key, index=number))


def _addition(weighed: WeighedAddition, index: int, step_g: float, portion: str | None) -> WeighRow:
    dispersed, stirred_in = weighed.addition.dispersion is not None, weighed.addition.in_batter
    where = "mould" if not stirred_in else "pot" if portion is None else "bucket"
    return WeighRow(kind="dispersion" if dispersed else "addition" if stirred_in else "spray", where=where,
                    portion=portion, key=weighed.key, name=weighed.name, form=_form_of_addition(weighed),
                    lot=weighed.addition.lot, weigh_g=weighed.weigh_g, step_g=step_g, fine=True,
                    take_g=None if weighed.dilution is None else weighed.dilution.take_weigh_g,
                    buy=None if dispersed else weighed.key, index=index)


def _form_of_alkali(alkali: WeighedAlkali) -> Said | None:
    portion = alkali.portion
    if portion.stock is not None:
        return Said("{strength:.9g} % solution", strength=portion.stock.concentration_pct)
    if portion.purity_at_least_pct is not None:
        return Said("at least {strength:.9g} % pure", strength=portion.purity_at_least_pct)
    return None if portion.purity_pct is None else Said("{strength:.9g} % pure", strength=portion.purity_pct)


def _form_of_acid(acid: WeighedAcid) -> Said | None:
    strength = 100 * acid.strength
    if strength >= 100:
        return None
    if acid.acid.fatty or strength > _SOLUTION_UP_TO_PCT:
        return Said("{strength:.9g} % pure", strength=strength)
    if acid.key == "acetic" and strength <= _VINEGAR_UP_TO_PCT:
        return Said("{strength:.9g} % vinegar", strength=strength)
    return Said("{strength:.9g} % solution", strength=strength)


def _form_of_addition(weighed: WeighedAddition) -> Said | None:
    """What the bottle holds; of a dose too little for the scale also that it is diluted."""
    bottle = _bottle_of(weighed.addition)
    if weighed.dilution is None:
        return bottle
    dilute = Said("too little for this scale: dilute it")
    return dilute if bottle is None else Said("{forms:; }", forms=(bottle, dilute))


def _bottle_of(addition: Addition) -> Said | None:
    """Of a dispersion made here its strength; of what is bought mixed the water and the oil in it."""
    if addition.dispersion is not None:
        return Said("{strength:.9g} % in {carrier}", strength=addition.dispersion.strength_pct,
                    carrier=carrier_in_words(addition.dispersion))
    holds = addition.contains
    if holds is None or not (holds.water_pct or holds.fat_pct):
        return None
    water = Said("{part:.9g} % water", part=holds.water_pct)
    oil = Said("{part:.9g} % {oil}", part=holds.fat_pct, oil=holds.oil_name)
    return Said("with {parts:, }", parts=tuple(part for part, amount in ((water, holds.water_pct), (oil, holds.fat_pct))
                                              if amount))
