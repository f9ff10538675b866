"""What is in the pot, by hand: waxes free no glycerin, dispersions bring theirs, a stock brings water."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import periodictable
import pytest
from kettlewright.plan import plan_batch
from kettlewright.plan.batch import Plan
from kettlewright.pour import Addition, Box, Contains, Dispersion, Mould
from kettlewright.recipe import AlkaliPortion, FatPortion, LiquidPortion, Recipe, Stock, WaterRule
from kettlewright.release.label.markets import MARKETS
from kettlewright.release.label.naming import Namer, OwnName
from kettlewright.release.label.pot_contents import pot_of
from recipes import FINE

BOX = Mould(Box(300, 100, 100))
MOLAR = {name: periodictable.formula(name).mass for name in ("KOH", "NaOH", "C3H8O3", "H2O")}


def planned(fats: tuple[FatPortion, ...], *additions: Addition, superfat: float = 5,
            alkali: AlkaliPortion | None = None, liquids: tuple[LiquidPortion, ...] = ()) -> Plan:
    recipe = Recipe(fats=fats, superfat_pct=superfat, water=WaterRule(water_to_alkali=2), liquids=liquids,
                    alkalis=(alkali or AlkaliPortion("NaOH", purity_pct=100, purity_tolerance_pct=0),))
    return plan_batch(recipe, BOX, FINE, additions=additions)


def pot(fats: tuple[FatPortion, ...], *additions: Addition, superfat: float = 5, as_reacted: bool = True,
        alkali: AlkaliPortion | None = None, liquids: tuple[LiquidPortion, ...] = (),
        names: Mapping[str, OwnName] = MappingProxyType({})) -> dict[str, float]:
    plan = planned(fats, *additions, superfat=superfat, alkali=alkali, liquids=liquids)
    found = pot_of(plan.lye, plan.division.additions, Namer(MARKETS["EU"], names), as_reacted=as_reacted)
    masses: dict[str, float] = {}
    for piece in found.pieces:
        masses[piece.named.text] = masses.get(piece.named.text, 0.0) + piece.mass_g
    return masses


def mol(mass: float, value: float, superfat: float = 5) -> float:
    return mass * (1 - superfat / 100) * value / 1000 / MOLAR["KOH"]


def test_a_wax_frees_no_glycerin() -> None:
    # beeswax 87 to 104 (Ph. Eur., read): 95.5 at the middle; esters of long alcohols, so all of it stays in the soap
    found = pot((FatPortion("olive", mass_g=900), FatPortion("beeswax", mass_g=100, inci_as_reacted="Sodium Beeswax")))
    olive = mol(900, 190)  # Codex CXS 33, 184 to 196
    wax = mol(100, 95.5)
    assert found["Glycerin"] == pytest.approx(olive / 3 * MOLAR["C3H8O3"], rel=1e-4)
    assert found["Sodium Beeswax"] == pytest.approx(95 + wax * MOLAR["NaOH"], rel=1e-4)
    assert found["Sodium Olivate"] == pytest.approx(
        855 + olive * MOLAR["NaOH"] - olive / 3 * MOLAR["C3H8O3"], rel=1e-4)


def test_a_fatty_acid_frees_water_and_no_glycerin() -> None:
    found = pot((FatPortion("stearic_acid", mass_g=1000),), superfat=0)
    acid = 1000 / periodictable.formula("C18H36O2").mass
    assert "Glycerin" not in found
    assert found["Sodium Stearate"] == pytest.approx(acid * periodictable.formula("C18H35O2Na").mass, rel=2e-4)
    assert found["Aqua"] == pytest.approx(2 * acid * MOLAR["NaOH"] + acid * MOLAR["H2O"], rel=2e-4)


@pytest.mark.parametrize("as_reacted", [False, True])
def test_a_dispersion_brings_its_carrier(as_reacted: bool) -> None:
    plain = pot((FatPortion("olive", mass_g=1000),), as_reacted=as_reacted)
    dye = {"name": "ochre", "kind": "colourant", "dose": 10.0, "basis": "mass", "inci": "CI 77492"}
    in_glycerol = pot((FatPortion("olive", mass_g=1000),), Addition(**dye, dispersion=Dispersion("glycerol", 20)),
                      as_reacted=as_reacted)
    in_water = pot((FatPortion("olive", mass_g=1000),), Addition(**dye, dispersion=Dispersion("water", 20)),
                   as_reacted=as_reacted)
    # 10 g of dye are 50 g of dispersion, 40 g of which are the carrier
    assert in_glycerol["Glycerin"] - plain.get("Glycerin", 0.0) == pytest.approx(40)
    assert in_water["Aqua"] - plain["Aqua"] == pytest.approx(40)
    assert in_glycerol["CI 77492"] == in_water["CI 77492"] == pytest.approx(10)


def test_wax_of_a_dispersion_frees_no_glycerin_either() -> None:
    plain = pot((FatPortion("olive", mass_g=1000),))
    dye = Addition("ochre", "colourant", 10, "mass", inci="CI 77492", dispersion=Dispersion("oil", 20, fat="jojoba"))
    found = pot((FatPortion("olive", mass_g=1000),), dye)
    assert found["Glycerin"] == pytest.approx(plain["Glycerin"], rel=1e-6)
    # 40 g of jojoba: its soap has no name that is known well enough, so it is counted as added
    assert found["Simmondsia Chinensis Seed Oil"] == pytest.approx(40, rel=1e-6)


@pytest.mark.parametrize(("fats", "additions", "liquids"), [
    ((FatPortion("jojoba", mass_g=40),), (), ()),
    ((), (Addition("ochre", "colourant", 10, "mass", dispersion=Dispersion("oil", 20, fat="jojoba")),), ()),
    ((), (Addition("ochre", "colourant", 50, "mass", contains=Contains(fat_pct=80, fat="jojoba")),), ()),
    ((), (), (LiquidPortion(name="emulsion", mass_g=80, water_pct=50, fat_pct=50, fat="jojoba"),))],
    ids=["a fat", "a dispersion made here", "an addition bought mixed", "a liquid"])
def test_40_g_of_a_wax_free_no_glycerin_wherever_they_come_from(
        fats: tuple[FatPortion, ...], additions: tuple[Addition, ...], liquids: tuple[LiquidPortion, ...]) -> None:
    # jojoba is esters of long alcohols (its saponification value, 92.2, read); its soap bears a name of the maker's
    olive = FatPortion("olive", mass_g=1000)
    glycerin = mol(1000, 190) / 3 * MOLAR["C3H8O3"]
    plan = planned((olive, *fats), *additions, liquids=liquids)
    assert plan.lye.soap.glycerol_mass_g == pytest.approx(glycerin, rel=1e-4)
    names = {"jojoba": OwnName("jojoba", inci_as_reacted="Sodium Jojobate")}
    reacted = pot((olive, *fats), *additions, liquids=liquids, names=names)
    assert reacted["Glycerin"] == pytest.approx(glycerin, rel=1e-4)
    # what is not alkali, water or glycerin: 1000 g of olive and 40 g of wax less the glycerin, and what hydrolysis adds
    esters = mol(1000, 190) + mol(40, 92.2)
    fatty = 1040 - glycerin + esters * MOLAR["H2O"]
    batter = plan.batter.mass_g + (40 if additions else 0)  # the oil of an addition is no part of the plain batter
    assert plan.lye.soap.tfm_pct == pytest.approx(100 * fatty / batter, rel=1e-4)


def test_all_water_is_lost_where_no_loss_is_given_of_a_stock_as_of_dry_alkali() -> None:
    # the same lye out of dry alkali or of a 50 % stock: the water of the stock is water too
    olive = Recipe(fats=(FatPortion("olive", mass_g=1000),), superfat_pct=5, water=WaterRule(water_to_alkali=2),
                   alkalis=(AlkaliPortion("NaOH", purity_pct=100, purity_tolerance_pct=0),))
    stock = Recipe(fats=olive.fats, superfat_pct=5, water=olive.water,
                   alkalis=(AlkaliPortion("NaOH", stock=Stock(50, concentration_tolerance_pct=0)),))
    scent = Addition("scent", "fragrance", 3, "pct_of_fats", limit_pct=2)
    dry, wet = (plan_batch(one, BOX, FINE, additions=(scent,)) for one in (olive, stock))
    alkali = mol(1000, 190) * MOLAR["NaOH"]
    loss = 100 * 2 * alkali / (1000 + 3 * alkali + 30)
    assert dry.division.loss_taken_pct == pytest.approx(loss, rel=1e-4)
    assert wet.division.loss_taken_pct == pytest.approx(loss, rel=1e-4)
    of_dry, of_wet = dry.bench.limits[0], wet.bench.limits[0]
    assert of_wet.bar_pct == pytest.approx(of_dry.bar_pct, rel=1e-5)
    assert of_wet.bar_pct == pytest.approx(100 * 30 / (1030 + alkali), rel=1e-4)
