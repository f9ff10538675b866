"""Colours and fades against published formulas, hand-worked values and a second library."""

from __future__ import annotations

import colour as second
import numpy as np
import pytest
from coloraide import Color
from kettlewright.pour.fade.absorption import absorption, reflectance
from kettlewright.pour.fade.carry_over import carry_over
from kettlewright.pour.fade.colours import Colour, difference, from_hex, from_lab, from_linear
from kettlewright.pour.fade.fades import fade
from kettlewright.pour.fade.more_colour import more_colour
from kettlewright.pour.fade.swatch_fit import fit_swatches
from kettlewright.pour.fade.swatches import Material, Swatch


def five(count: int = 5) -> list[str]:
    return [f"portion {number}" for number in range(1, count + 1)]


# a grey material: R = 0.80 plain, 0.20 at 10 g/kg in every channel
GREY = fit_swatches([Swatch(0, from_linear(0.8, 0.8, 0.8)), Swatch(10, from_linear(0.2, 0.2, 0.2))])
BROWN = fit_swatches([Swatch(0, from_hex("#F3EDE0")), Swatch(12, from_hex("#7A4B2A"))])


@pytest.mark.parametrize(("reflected", "absorbs"), [
    (0.05, 9.025), (0.1, 4.05), (0.2, 1.6), (0.4, 0.45), (0.8, 0.025)])
def test_kubelka_munk(reflected: float, absorbs: float) -> None:
    # K/S = (1 - R)^2 / (2 R): read
    assert absorption(reflected) == pytest.approx(absorbs, abs=1e-9)
    assert reflectance(absorbs) == pytest.approx(reflected, abs=1e-9)


@pytest.mark.parametrize(("absorbs", "reflected"), [
    (0.025, 0.8), (0.1, 0.641742), (0.5, 0.381966), (1, 0.267949), (2, 0.171573)])
def test_its_inverse(absorbs: float, reflected: float) -> None:
    assert reflectance(absorbs) == pytest.approx(reflected, abs=1e-6)


@pytest.mark.parametrize(("luminance", "lightness"), [
    (0.005, 4.5165), (0.18, 49.4961), (0.2, 51.8372), (0.5, 76.0693), (0.8, 91.6849), (0.184187, 50), (0.0055353, 5)])
def test_lightness_of_greys(luminance: float, lightness: float) -> None:
    # ISO/CIE 11664-4: from memory, agrees with an independent library
    assert from_linear(luminance, luminance, luminance).lab[0] == pytest.approx(lightness, abs=1e-3)


@pytest.mark.parametrize(("text", "lab"), [
    ("#7A4B2A", (36.625, 16.536, 27.664)), ("#C9A27E", (69.302, 9.418, 24.181)), ("#2F5D50", (36.008, -19.339, 2.603)),
    ("#F3EDE0", (93.885, -0.181, 7.010))])
def test_colours_of_a_screen(text: str, lab: tuple[float, float, float]) -> None:
    found = from_hex(text)
    assert found.lab == pytest.approx(lab, abs=0.02)
    assert found.hex == text.lower()
    assert from_lab(*found.lab).hex == text.lower()
    # a second library, of general purpose
    srgb = np.array([int(text[at:at + 2], 16) for at in (1, 3, 5)]) / 255
    white = second.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    assert found.lab == pytest.approx(tuple(second.XYZ_to_Lab(second.sRGB_to_XYZ(srgb), white)), abs=0.02)


# G. Sharma, W. Wu, E. N. Dalal, The CIEDE2000 color-difference formula, Color Res. Appl. 30 (2005), table 1: the first
# pair was read, the other 33 are from memory; all agree with both libraries to the four decimals of the table
SHARMA_WU_DALAL = [
    ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
    ((50, 3.1571, -77.2803), (50, 0, -82.7485), 2.8615),
    ((50, 2.8361, -74.02), (50, 0, -82.7485), 3.4412),
    ((50, -1.3802, -84.2814), (50, 0, -82.7485), 1.0000),
    ((50, -1.1848, -84.8006), (50, 0, -82.7485), 1.0000),
    ((50, -0.9009, -85.5211), (50, 0, -82.7485), 1.0000),
    ((50, 0, 0), (50, -1, 2), 2.3669),
    ((50, -1, 2), (50, 0, 0), 2.3669),
    ((50, 2.49, -0.001), (50, -2.49, 0.0009), 7.1792),
    ((50, 2.49, -0.001), (50, -2.49, 0.001), 7.1792),
    ((50, 2.49, -0.001), (50, -2.49, 0.0011), 7.2195),
    ((50, 2.49, -0.001), (50, -2.49, 0.0012), 7.2195),
    ((50, -0.001, 2.49), (50, 0.0009, -2.49), 4.8045),
    ((50, -0.001, 2.49), (50, 0.001, -2.49), 4.8045),
    ((50, -0.001, 2.49), (50, 0.0011, -2.49), 4.7461),
    ((50, 2.5, 0), (50, 0, -2.5), 4.3065),
    ((50, 2.5, 0), (73, 25, -18), 27.1492),
    ((50, 2.5, 0), (61, -5, 29), 22.8977),
    ((50, 2.5, 0), (56, -27, -3), 31.9030),
    ((50, 2.5, 0), (58, 24, 15), 19.4535),
    ((50, 2.5, 0), (50, 3.1736, 0.5854), 1.0000),
    ((50, 2.5, 0), (50, 3.2972, 0), 1.0000),
    ((50, 2.5, 0), (50, 1.8634, 0.5757), 1.0000),
    ((50, 2.5, 0), (50, 3.2592, 0.335), 1.0000),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((63.0109, -31.0961, -5.8663), (62.8187, -29.7946, -4.0864), 1.2630),
    ((61.2901, 3.7196, -5.3901), (61.4292, 2.248, -4.962), 1.8731),
    ((35.0831, -44.1164, 3.7933), (35.0232, -40.0716, 1.5901), 1.8645),
    ((22.7233, 20.0904, -46.694), (23.0331, 14.973, -42.5619), 2.0373),
    ((36.4612, 47.858, 18.3852), (36.2715, 50.5065, 21.2231), 1.4146),
    ((90.8027, -2.0831, 1.441), (91.1528, -1.6435, 0.0447), 1.4441),
    ((90.9257, -0.5406, -0.9208), (88.6381, -0.8985, -0.7239), 1.5381),
    ((6.7747, -0.2908, -2.4247), (5.8714, -0.0985, -2.2286), 0.6377),
    ((2.0776, 0.0795, -1.135), (0.9033, -0.0636, -0.5514), 0.9082),
]


@pytest.mark.parametrize(("one", "other", "published"), SHARMA_WU_DALAL)
def test_published_pairs_of_colours(one: tuple[float, float, float], other: tuple[float, float, float],
                                    published: float) -> None:
    assert round(float(second.delta_E(one, other, method="CIE 2000")), 4) == published
    assert round(Color("lab-d65", list(one)).delta_e(Color("lab-d65", list(other)), method="2000"), 4) == published


def test_a_difference_as_two_libraries_see_it() -> None:
    one, other = from_hex("#7A4B2A"), from_hex("#C9A27E")
    assert difference(one, other) == pytest.approx(32.272, abs=0.02)
    rng = np.random.default_rng(7)
    for _ in range(200):
        a, b = (from_linear(*rng.uniform(0.01, 0.99, 3)) for _ in range(2))
        assert difference(a, b) == pytest.approx(float(second.delta_E(a.lab, b.lab, method="CIE 2000")), abs=1e-6)


def doses(found: object) -> list[float]:
    return [step.dose for step in found.steps]


def test_equal_steps_of_lightness() -> None:
    # computed by hand: slope 0.1575; L* 51.837, 61.799, 71.761, 81.723, 91.685
    assert [absorption(GREY.colour(dose).linear[0]) for dose in (0, 1)] == pytest.approx([0.025, 0.1825])
    found = fade(GREY, five(), steps="lightness")
    assert doses(found) == pytest.approx([10, 4.9728, 2.1977, 0.6998, 0], abs=5e-4)
    assert [step.colour.lab[0] for step in found.steps] == pytest.approx([51.837, 61.799, 71.761, 81.723, 91.685],
                                                                        abs=2e-3)
    assert doses(fade(GREY, five(4), steps="lightness")) == pytest.approx([10, 3.8606, 1.0931, 0], abs=5e-4)
    assert GREY.colour(5).linear[0] == pytest.approx(0.300827, abs=1e-6)


def test_a_dyed_batter_between_its_swatches() -> None:
    # computed: per linear channel, never on the coded values of a screen
    assert [BROWN.colour(dose).hex for dose in (1.5, 3, 6)] == ["#c09769", "#ac7d51", "#94633b"]


def test_equal_steps_by_either_measure() -> None:
    assert doses(fade(BROWN, five(), steps="lightness")) == pytest.approx([12, 4.334, 1.483, 0.3666, 0], abs=5e-3)
    found = fade(BROWN, five(), steps="ciede2000")
    assert doses(found) == pytest.approx([12, 4.464, 1.585, 0.3392, 0], abs=5e-3)
    assert [step.to_next for step in found.steps[:-1]] == pytest.approx([13.149] * 4, abs=5e-3)


def test_equal_doses_are_no_equal_steps() -> None:
    steps = [step.to_next for step in fade(BROWN, five(), doses=[12, 9, 6, 3, 0]).steps[:-1]]
    assert steps[-1] is not None
    assert steps[0] is not None
    assert steps[-1] > 5 * steps[0]


def test_carry_over_backward() -> None:
    # computed by hand: 300 g each at 8, 4, 2, 1 g/kg
    found = carry_over([300] * 4, [8, 4, 2, 1])
    assert [step.make_g for step in found] == pytest.approx([562.5, 525, 450, 300])
    assert [step.keep_g for step in found] == pytest.approx([262.5, 225, 150, 0])
    assert [step.plain_g for step in found] == pytest.approx([562.5, 262.5, 225, 150])
    assert found[0].colourant_g == pytest.approx(4.5)


def test_carry_over_of_a_fade() -> None:
    # computed: the grey material, 0.5 g/kg the lightest, 500 g each
    wanted = doses(fade(GREY, five(4), steps="lightness", lightest_dose=0.5))
    assert wanted == pytest.approx([10, 4.7242, 1.9292, 0.5], abs=1e-3)
    found = carry_over([500] * 4, wanted)
    assert [step.make_g for step in found] == pytest.approx([857.67, 757.10, 629.59, 500], abs=0.05)
    assert [step.plain_g for step in found] == pytest.approx([857.67, 399.43, 372.49, 370.41], abs=0.05)
    assert found[0].colourant_g == pytest.approx(8.577, abs=1e-3)


def test_carry_over_forward_is_a_mixing_rule() -> None:
    # computed by hand: 900 g of 5 g/kg, pour 400, add 300: 3.125; pour 400, add 200: 2.08333
    kept = 900 - 400
    second_dose = 5 * kept / (kept + 300)
    third = second_dose * (800 - 400) / (800 - 400 + 200)
    assert (second_dose, third) == (pytest.approx(3.125), pytest.approx(2.08333, abs=1e-5))
    found = carry_over([400, 400, 600], [5, second_dose, third])
    assert [step.make_g for step in found] == pytest.approx([900, 800, 600])
    assert [step.plain_g for step in found] == pytest.approx([900, 300, 200])


def test_how_much_more() -> None:
    # 500 g that look like 3 g/kg and shall look like 6: 1.5 g more
    found = more_colour(BROWN, 500, BROWN.colour(3), BROWN.colour(6))
    assert (found.now_dose, found.wanted_dose) == (pytest.approx(3), pytest.approx(6))
    assert (found.colourant_g, found.plain_g) == (pytest.approx(1.5), 0)
    lighter = more_colour(BROWN, 500, 6.0, 2.0)
    assert (lighter.colourant_g, lighter.plain_g) == (0, pytest.approx(1000))  # 500 g of 6 in 1500 g are 2


def test_the_error_of_a_fit_is_that_of_its_swatches() -> None:
    rng = np.random.default_rng(11)
    exact = [Swatch(dose, BROWN.colour(dose)) for dose in (0, 1, 3, 6, 12)]
    fitted = fit_swatches(exact)
    assert fitted.error == pytest.approx(0, abs=1e-6)
    assert BROWN.error is None

    def noisy(one: Colour) -> Colour:
        return from_linear(*(channel * float(rng.uniform(0.96, 1.04)) for channel in one.linear))

    rough = fit_swatches([Swatch(swatch.dose, noisy(swatch.colour)) for swatch in exact])
    assert rough.error is not None
    assert 0.1 < rough.error < 3
    assert isinstance(rough, Material)


def test_the_band_is_that_of_swatches_left_out() -> None:
    # greys near a straight line: numpy's least squares through the plain swatch, each dyed one left out in turn, on
    # rows weighted by a numerical derivative of the cube root of the reflectance; scipy's Student distribution
    from scipy import stats

    greys = [(0.0, 0.80), (2.0, 0.50), (5.0, 0.305), (8.0, 0.2345), (10.0, 0.199)]
    material = fit_swatches([Swatch(dose, from_linear(grey, grey, grey)) for dose, grey in greys])
    assert material.model == "straight"
    at, x = (np.array(row) for row in zip(*((dose, (1 - grey) ** 2 / (2 * grey)) for dose, grey in greys), strict=True))

    def cube_root(x: float) -> float:
        return float((1 + x - np.sqrt(x * x + 2 * x)) ** (1 / 3))

    weight = np.array([abs(cube_root(one * (1 + 1e-6)) - cube_root(one * (1 - 1e-6))) / (2e-6 * one) for one in x])

    def slope_of(rows: list[int]) -> float:
        found, *_ = np.linalg.lstsq((at * weight)[rows, None], ((x - x[0]) * weight)[rows], rcond=None)
        return float(found[0])

    missed = [cube_root(x[0] + slope_of([one for one in range(1, 5) if one != out]) * at[out]) - cube_root(x[out])
              for out in (1, 2, 3)]
    half = float(stats.t.ppf(0.975, 3)) * np.sqrt(np.mean(np.square(missed)))
    middle = cube_root(x[0] + slope_of([1, 2, 3, 4]) * 3.5)
    band = material.band(3.5)
    assert band is not None
    assert [band.darkest.linear[0], band.lightest.linear[0]] == pytest.approx(
        [(middle - half) ** 3, (middle + half) ** 3], rel=1e-6)


def test_the_band_holds_what_it_promises() -> None:
    # 300 sets of swatches whose lightness scatters: about 95 % of 20 new swatches each lie in the band
    rng = np.random.default_rng(2026)
    inside = []
    for _ in range(300):
        def made(dose: float) -> Colour:
            grey = GREY.colour(dose).linear[0]
            grey = float((grey ** (1 / 3) + rng.normal(0, 0.004)) ** 3)
            return from_linear(grey, grey, grey)

        band = fit_swatches([Swatch(dose, made(dose)) for dose in (0, 0, 2, 4, 7, 10)]).band(5)
        assert band is not None
        inside += [band.darkest.linear[0] <= made(5).linear[0] <= band.lightest.linear[0] for _ in range(20)]
    assert 0.93 <= np.mean(inside) <= 0.97


def test_two_swatches_give_no_band() -> None:
    assert GREY.band(5) is None
    assert fade(GREY, five()).steps[1].band is None


def test_the_dose_of_a_predicted_colour_is_the_dose() -> None:
    for dose in (0.3, 2.5, 11.9):
        assert more_colour(BROWN, 100, BROWN.colour(dose), 12.0).now_dose == pytest.approx(dose, rel=1e-9)


def test_equal_doses_on_screen_values_would_be_no_fade() -> None:
    # the usual mistake: K/S taken of the values a screen holds, undecoded, gives another dose for the middle step
    right = doses(fade(GREY, five(3), steps="lightness"))[1]

    def encoded(linear: float) -> float:
        return float(1.055 * linear ** (1 / 2.4) - 0.055)

    def absorbs(value: float) -> float:
        return (1 - value) ** 2 / (2 * value)

    middle = from_linear(*[float(((GREY.colour(10).lab[0] + GREY.colour(0).lab[0]) / 2 + 16) / 116) ** 3] * 3)
    wrong = 10 * (absorbs(encoded(middle.linear[0])) - absorbs(encoded(0.8))) / (
        absorbs(encoded(0.2)) - absorbs(encoded(0.8)))
    assert right == pytest.approx(2.1977, abs=5e-4)
    assert wrong == pytest.approx(2.4179, abs=5e-4)
