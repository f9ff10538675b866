"""What is in the pot, by hand: waxes free no glycerin, dispersions bring theirs, a stock brings water."""

from __future__ import annotations

import periodictable
import pytest
from kettlewright.plan import plan_batch
from kettlewright.pour import Addition, Box, Dispersion, Mould
from kettlewright.recipe import AlkaliPortion, FatPortion, Recipe, Scale, Stock, WaterRule
from kettlewright.release.markets import MARKETS
from kettlewright.release.naming import Namer
from kettlewright.release.pot import pot_of

FINE = Scale(1e-6, 1e-6, 1e-6)
BOX = Mould(Box(300, 100, 100))
MOLAR = {name: periodictable.formula(name).mass for name in ("KOH", "NaOH", "C3H8O3", "H2O")}


def pot(fats: tuple[FatPortion, ...], *additions: Addition, superfat: float = 5, as_reacted: bool = True,
        alkali: AlkaliPortion | None = None) -> dict[str, float]:
    recipe = Recipe(fats=fats, superfat_pct=superfat, water=WaterRule(water_to_alkali=2),
                    alkalis=(alkali or AlkaliPortion("NaOH", purity_pct=100, purity_tolerance_pct=0),))
    plan = plan_batch(recipe, BOX, FINE, additions=additions)
    found = pot_of(plan.lye, plan.division.additions, Namer(MARKETS["EU"], {}), as_reacted=as_reacted)
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
