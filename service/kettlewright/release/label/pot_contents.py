"""What is in the pot under the names of a label: as added, or as it has reacted."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from kettlewright.copies import replace
from kettlewright.pour import WeighedAddition
from kettlewright.recipe import FatPortion, Lye
from kettlewright.recipe.fats import fat_kind
from kettlewright.recipe.soap import Saponified
from kettlewright.recipe.weighed import WeighedAcid, WeighedLiquid
from kettlewright.reference import M_GLYCEROL, M_KOH, M_NAOH, M_WATER, MG_KOH_PER_MOL
from kettlewright.release.label.contents import Content, Substance, content_of_addition, mass_in_g, together
from kettlewright.release.label.naming import Named, Namer
from kettlewright.said import NO_TEXT, Said, sentences

__all__ = ["pot_of"]

_MOLAR_MASS = {"NaOH": M_NAOH, "KOH": M_KOH}


@dataclass(frozen=True, slots=True)
class _FatInPot:
    """Fat that alkali can turn: of the recipe, or the oil an addition is dispersed in. [g, mol/g]"""

    named: Named
    key: str | None
    name: str | None
    portion: FatPortion | None
    fat: Saponified
    made_of: str
    pointer: str

    def piece(self, mass_g: float, doubt: Said = NO_TEXT) -> Substance:
        return Substance(self.named, mass_g, self.made_of, self.pointer, doubt=doubt)


def pot_of(lye: Lye, additions: Sequence[WeighedAddition], namer: Namer, *, as_reacted: bool) -> Content:
    """What is in the pot, the batch's additions in it.

    Parameters
    ----------
    lye : Lye
        The weighed recipe. [g]
    additions : sequence of WeighedAddition
        The batch's own. [g]
    namer : Namer
        Of the market. [names]
    as_reacted : bool
        List soaps, glycerin and free fat instead of fats and alkali. [yes or no]

    Returns
    -------
    Content : [g]

    Notes
    -----
    Which fat stays free cannot be chosen in cold process, so each keeps the same part of itself. A fat whose soap has
    no reliably known name is listed as added, with the alkali it takes. What is not alkali in dry alkali counts with
    it as added; as reacted it is an impurity and no ingredient.
    """
    fats = [*_fats_of(lye, namer), *_dispersed(lye, additions, namer)]
    own = together(content_of_addition(one, namer, f"/additions/{index}", with_oil=False)
                   for index, one in enumerate(additions))
    pieces = _reacted(lye, fats, namer) if as_reacted else _added(lye, fats, namer)
    impurity = math.fsum(alkali.weigh_g - alkali.weigh_pure_g for alkali in lye.alkalis
                         if as_reacted and not alkali.portion.brings_water)
    return together((Content(tuple(piece for piece in pieces if piece.mass_g > 0), water_g=lye.water_mass_g,
                             unlisted_g=impurity), own))


def _turned(lye: Lye) -> float:
    """What part of every fat has turned to soap. [fraction]"""
    return min(1 - lye.superfat.achieved_pct / 100, 1.0)


def _fats_of(lye: Lye, namer: Namer) -> list[_FatInPot]:
    found = []
    for index, (portion, weighed) in enumerate(zip(lye.recipe.fats, lye.fats, strict=True)):
        fat = weighed.fat
        saponified = Saponified(weighed.weigh_g, fat.saponification_value.mid / MG_KOH_PER_MOL, fat.kind, _turned(lye),
                                fat.acid_value / MG_KOH_PER_MOL)
        found.append(_FatInPot(namer.fat(portion), portion.key, portion.name, portion, saponified, fat.name,
                               f"/recipe/fats/{index}"))
    return found


def _dispersed(lye: Lye, additions: Sequence[WeighedAddition], namer: Namer) -> list[_FatInPot]:
    found = []
    for index, weighed in enumerate(additions):
        contains = weighed.addition.contents
        value = None if contains is None else contains.fat_value
        if contains is None or value is None or not weighed.addition.in_batter:
            continue
        name = f"oil in {weighed.name}" if contains.fat is None else None
        saponified = Saponified(mass_in_g(weighed) * contains.fat_pct / 100, value.mid / MG_KOH_PER_MOL,
                                fat_kind(contains.fat), _turned(lye))
        found.append(_FatInPot(namer.fat_by_key(contains.fat, name), contains.fat, name, None, saponified,
                               weighed.name, f"/additions/{index}"))
    return found


def _added(lye: Lye, fats: Sequence[_FatInPot], namer: Namer) -> Iterable[Substance]:
    for fat in fats:
        yield fat.piece(fat.fat.mass_g)
    for index, acid in enumerate(lye.acids):
        yield _acid(acid, index, namer)
    for index, liquid in enumerate(lye.liquids):
        yield _liquid(liquid, index, namer)
    for index, alkali in enumerate(lye.alkalis):
        mass = alkali.weigh_pure_g if alkali.portion.brings_water else alkali.weigh_g
        yield Substance(namer.alkali(alkali.key), mass, alkali.name, f"/recipe/alkalis/{index}")
    yield _water(lye, namer)


def _acid(acid: WeighedAcid, index: int, namer: Namer, doubt: Said = NO_TEXT) -> Substance:
    return Substance(namer.acid(acid.key), acid.weigh_g * acid.strength, acid.name, f"/recipe/acids/{index}",
                     doubt=doubt)


def _liquid(liquid: WeighedLiquid, index: int, namer: Namer) -> Substance:
    return Substance(namer.thing(liquid.name), liquid.weigh_g, liquid.name, f"/recipe/liquids/{index}")


def _water(lye: Lye, namer: Namer) -> Substance:
    in_acids = math.fsum(acid.weigh_g * (1 - acid.strength) for acid in lye.acids)
    in_alkalis = math.fsum(alkali.weigh_g - alkali.weigh_pure_g for alkali in lye.alkalis
                           if alkali.portion.brings_water)
    return Substance(namer.water, lye.water.weigh_g + in_acids + in_alkalis, Said("water"), "/recipe/water")


@dataclass(frozen=True, slots=True)
class _Formed:
    """What forms of one fat or acid. [g, mol]"""

    alkali_mol: float
    rest_g: float
    glycerol_g: float
    water_g: float


def _of_fat(fat: Saponified) -> _Formed:
    glycerol = fat.esters_mol * M_GLYCEROL / 3 if fat.kind == "triglyceride" else 0.0
    water = fat.acids_mol * M_WATER
    return _Formed(fat.acids_mol + fat.esters_mol, fat.mass_g * fat.share - glycerol - water, glycerol, water)


@dataclass(slots=True)
class _Pot:
    """Collects the reaction products; the alkalis share every reaction by mol. [g, mol]"""

    namer: Namer
    shares: Mapping[str, float]
    pieces: list[Substance] = field(default_factory=list)
    glycerol_g: float = 0.0
    water_g: float = 0.0
    used_mol: float = 0.0

    def alkali_g(self, mol: float) -> float:
        return math.fsum(mol * share * _MOLAR_MASS[key] for key, share in self.shares.items())

    def count(self, formed: _Formed) -> None:
        self.glycerol_g += formed.glycerol_g
        self.water_g += formed.water_g
        self.used_mol += formed.alkali_mol

    def salts(self, names: Mapping[str, Named | None], formed: _Formed, as_added: Substance) -> bool:
        """List the salts if all their names are known, else the acids as added with the alkali they take."""
        known = {key: named for key, named in names.items() if named is not None}
        if len(known) < len(self.shares):
            self.pieces.append(as_added)
            self.used_mol += formed.alkali_mol
            self.alkali(formed.alkali_mol, as_added.made_of, as_added.pointer)
            return False
        self.count(formed)
        for key, named in known.items():
            mass = self.shares[key] * (formed.rest_g + formed.alkali_mol * _MOLAR_MASS[key])
            self.pieces.append(Substance(named, mass, as_added.made_of, as_added.pointer))
        return True

    def alkali(self, mol: float, made_of: str, pointer: str) -> None:
        self.pieces += [Substance(self.namer.alkali(key), mol * share * _MOLAR_MASS[key], made_of, pointer)
                        for key, share in self.shares.items()]


def _reacted(lye: Lye, fats: Sequence[_FatInPot], namer: Namer) -> list[Substance]:
    mol = {alkali.key: alkali.weigh_pure_g / _MOLAR_MASS[alkali.key] for alkali in lye.alkalis}
    all_mol = math.fsum(mol.values())
    pot = _Pot(namer, {key: one / all_mol for key, one in mol.items()})
    for fat in fats:
        doubt = Said('The name of the soap of {fat} is not known reliably, so the fat is listed as added. Look it up '
                     'and give it as "inci_as_reacted".', fat=fat.made_of)
        names = {key: namer.salt(fat.portion, fat.key, fat.name, key) for key in pot.shares}
        if pot.salts(names, _of_fat(fat.fat), fat.piece(fat.fat.mass_g, doubt)):
            pot.pieces.append(fat.piece(fat.fat.mass_g * (1 - fat.fat.share)))
    for index, acid in enumerate(lye.acids):
        piece = _acid(acid, index, namer, Said("The name of the salt of {acid} is not known reliably, so the acid is "
                                               "listed as added.", acid=acid.name))
        eaten = piece.mass_g * acid.acid.mol_per_g
        pot.salts({key: namer.acid_salt(acid.key, key) for key in pot.shares},
                  _Formed(eaten, piece.mass_g - eaten * M_WATER, 0.0, eaten * M_WATER), piece)
    for index, liquid in enumerate(lye.liquids):
        pot.pieces.append(_reacted_liquid(liquid, _liquid(liquid, index, namer), _turned(lye), pot))
    pot.pieces.append(Substance(namer.glycerin, pot.glycerol_g, Said("released by the fats"), "/recipe/fats"))
    water = _water(lye, namer)
    pot.pieces.append(replace(water, mass_g=water.mass_g + pot.water_g))
    if lye.superfat.achieved_pct < 0:
        pot.alkali(all_mol - pot.used_mol, Said("alkali that did not react"), "/recipe/alkalis")
    return pot.pieces


def _reacted_liquid(liquid: WeighedLiquid, piece: Substance, turned: float, pot: _Pot) -> Substance:
    """A liquid stays one ingredient; the soap of its fat is counted in it, glycerin and water apart."""
    value = liquid.portion.fat_value
    if value is None:
        return piece
    formed = _of_fat(Saponified(liquid.fat_mass_g, value.mid / MG_KOH_PER_MOL, fat_kind(liquid.portion.fat),
                                 turned))
    pot.count(formed)
    remark = sentences(piece.named.remark, Said("Includes the soap of its fat."))
    return replace(piece, mass_g=piece.mass_g + pot.alkali_g(formed.alkali_mol) - formed.glycerol_g - formed.water_g,
                   named=replace(piece.named, remark=remark))
