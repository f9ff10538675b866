"""Fades against made colourants whose strength bends: Kubelka-Munk and CIELAB by numpy and a second library.

A made colourant is a law of K/S against the dose that the service does not know: a power of the dose in each channel
(dyes), or both constants of Kubelka-Munk, absorption and scattering (pigments). Its colours are never the service's.
"""

from __future__ import annotations

import functools
import itertools
import re
from collections.abc import Callable, Sequence

import colour as second
import numpy as np
import pytest
from kettlewright.app import create_app
from kettlewright.pour.fade.colours import from_lab
from kettlewright.pour.fade.fades import Fade, fade
from kettlewright.pour.fade.more_colour import more_colour
from kettlewright.pour.fade.swatch_fit import fit_swatches
from kettlewright.pour.fade.swatches import Material, Swatch

Lab = np.ndarray
Made = Callable[[float], Lab]

DARKEST = 12.0
# doses of a maker's swatches, and plain batter
DOSES = {3: (0, 3, 12), 4: (0, 2, 5, 12), 5: (0, 1, 3, 6, 12), 6: (0, 0.75, 1.5, 3, 6, 12),
         7: (0, 0.5, 1, 2, 4, 8, 12), 8: (0, 0.3, 0.75, 1.5, 3, 6, 9, 12)}
EXPONENTS = {"1": (1, 1, 1), "0.8": (0.8, 0.8, 0.8), "0.65": (0.65, 0.65, 0.65), "0.5": (0.5, 0.5, 0.5),
             "mixed": (1, 0.8, 0.6)}
SCATTER = (0.7, 0.4, 0.4)  # of a measured swatch, L*, a*, b*: common practice, no source


def k_over_s(coded: str) -> np.ndarray:
    values = np.array([int(coded[at:at + 2], 16) for at in (1, 3, 5)]) / 255
    reflected = second.cctf_decoding(values, function="sRGB")
    return np.asarray((1 - reflected) ** 2 / (2 * reflected))


def lab_of(absorbed: np.ndarray) -> Lab:
    reflected = 1 + absorbed - np.sqrt(absorbed * absorbed + 2 * absorbed)
    return np.asarray(second.XYZ_to_Lab(second.RGB_to_XYZ(reflected, "sRGB")))


def dye(exponents: Sequence[float], dose: float) -> Lab:
    """#f3ede0 plain, #7a4b2a at 12 g/kg, and a power of the dose in between."""
    plain, darkest = k_over_s("#f3ede0"), k_over_s("#7a4b2a")
    return lab_of(plain + (darkest - plain) * (dose / DARKEST) ** np.array(exponents))


def pigment(plain: np.ndarray, absorbs: np.ndarray, scatters: float, dose: float) -> Lab:
    """Both constants add up: K/S = (K0 + k dose) / (S0 + s dose), with S0 = 1."""
    return lab_of((plain + absorbs * dose) / (1 + scatters * dose))


# a pigment that scatters: its K/S is 6, 1.5 and 0.06 in red, green and blue light; yellow batter absorbs blue at 1.2
BLUE_IN_YELLOW: Made = functools.partial(pigment, np.array([0.01, 0.03, 1.2]), np.array([0.6, 0.15, 0.006]), 0.1)


def measured(made: Made, doses: Sequence[float], rng: np.random.Generator | None = None) -> list[Swatch]:
    return [Swatch(dose, from_lab(*(made(dose) + (0 if rng is None else rng.normal(0, SCATTER))))) for dose in doses]


def apart(one: Lab, other: Lab) -> float:
    return float(second.delta_E(one, other, method="CIE 2000"))


def true_steps(found: Fade, made: Made) -> list[float]:
    return [apart(made(one.dose), made(two.dose)) for one, two in itertools.pairwise(found.steps)]


def names(count: int) -> list[str]:
    return [f"portion {number}" for number in range(count)]


def worst_step(material: Material, made: Made) -> float:
    """How far a true step of a fade in five is from the claimed one, as a part of it."""
    found = fade(material, names(5))
    claimed = found.steps[0].to_next
    assert claimed is not None
    return max(abs(step / claimed - 1) for step in true_steps(found, made))


@pytest.mark.parametrize("count", DOSES)
@pytest.mark.parametrize("exponents", EXPONENTS.values(), ids=EXPONENTS)
def test_a_dye_that_bends_fades_in_the_steps_claimed(exponents: tuple[float, ...], count: int) -> None:
    made = functools.partial(dye, exponents)
    material = fit_swatches(measured(made, DOSES[count]))
    assert worst_step(material, made) < 0.01
    for dose in np.linspace(0, DARKEST, 25):
        assert apart(np.array(material.colour(float(dose)).lab), made(float(dose))) < 0.1


def test_two_swatches_of_it_cannot_do_that() -> None:
    # why the service says that the curve between two swatches is assumed straight
    made = functools.partial(dye, EXPONENTS["0.65"])
    assert worst_step(fit_swatches(measured(made, (0, DARKEST))), made) > 0.5


def test_steps_hold_when_the_swatches_scatter() -> None:
    rng = np.random.default_rng(2026)
    worst = {count: [worst_step(fit_swatches(measured(functools.partial(dye, exponents), DOSES[count], rng)),
                                functools.partial(dye, exponents))
                     for exponents in EXPONENTS.values() for _ in range(2)] for count in DOSES}
    assert max(itertools.chain(*(worst[count] for count in (5, 6, 7, 8)))) < 0.35
    assert max(np.quantile(worst[count], 0.9) for count in (3, 4)) < 0.35
    assert np.median(list(itertools.chain(*worst.values()))) < 0.1


def test_equal_steps_of_lightness_are_equal() -> None:
    made = functools.partial(dye, EXPONENTS["mixed"])
    found = fade(fit_swatches(measured(made, DOSES[5])), names(6), steps="lightness")
    light = [made(step.dose)[0] for step in found.steps]
    assert np.diff(light) == pytest.approx([(light[-1] - light[0]) / 5] * 5, rel=0.01)


def test_a_curve_of_your_own_is_kept() -> None:
    made = functools.partial(dye, EXPONENTS["0.5"])
    found = fade(fit_swatches(measured(made, DOSES[6])), names(4), curve=[0, 0.2, 0.7, 1])
    light = np.array([made(step.dose)[0] for step in found.steps])
    assert (light - light[0]) / (light[-1] - light[0]) == pytest.approx([0, 0.2, 0.7, 1], abs=0.003)


def test_a_fade_through_plain_has_equal_steps_on_both_sides() -> None:
    red = functools.partial(dye, EXPONENTS["0.65"])
    plain = k_over_s("#f3ede0")
    blue = functools.partial(pigment, plain, np.array([0.9, 0.3, 0.05]), 0.05)
    found = fade(fit_swatches(measured(red, DOSES[5])), names(7), other=fit_swatches(measured(blue, DOSES[8])))
    true = [(blue if step.end else red)(step.dose) for step in found.steps]
    assert {step.end for step in found.steps} == {0, 1}
    steps = [apart(one, two) for one, two in itertools.pairwise(true)]
    assert max(steps) < 1.1 * min(steps)


def test_a_bucket_is_read_off_the_bent_curve() -> None:
    made = functools.partial(dye, EXPONENTS["0.65"])
    material = fit_swatches(measured(made, DOSES[5]))
    found = more_colour(material, 500, from_lab(*made(2.0)), from_lab(*made(8.0)))
    assert (found.now_dose, found.wanted_dose) == (pytest.approx(2, rel=0.01), pytest.approx(8, rel=0.01))
    assert found.colourant_g == pytest.approx(3, rel=0.02)  # by hand: 6 g/kg more in 0.5 kg


@pytest.mark.parametrize("count", DOSES)
def test_a_pigment_that_lightens_one_channel_meets_its_swatches(count: int) -> None:
    doses = DOSES[count]
    assert BLUE_IN_YELLOW(DARKEST)[2] < BLUE_IN_YELLOW(0)[2] - 20  # from yellow towards blue
    swatches = measured(BLUE_IN_YELLOW, doses)
    assert swatches[-1].colour.linear[2] > 1.3 * swatches[0].colour.linear[2]  # more blue light with more pigment
    material = fit_swatches(swatches)
    assert max(apart(np.array(material.colour(dose).lab), BLUE_IN_YELLOW(dose)) for dose in doses) < 1.5
    if count >= 5:
        assert worst_step(material, BLUE_IN_YELLOW) < 0.18
        assert max(apart(np.array(material.colour(float(dose)).lab), BLUE_IN_YELLOW(float(dose)))
                   for dose in np.linspace(0, DARKEST, 25)) < 3


def test_two_swatches_of_a_channel_that_lightens_are_met() -> None:
    material = fit_swatches(measured(BLUE_IN_YELLOW, (0, DARKEST)))
    for dose in (0, DARKEST):
        assert apart(np.array(material.colour(dose).lab), BLUE_IN_YELLOW(dose)) < 0.01


@pytest.mark.parametrize("exponents", EXPONENTS.values(), ids=EXPONENTS)
def test_without_a_plain_swatch_the_curve_meets_the_others(exponents: tuple[float, ...]) -> None:
    made = functools.partial(dye, exponents)
    material = fit_swatches(measured(made, DOSES[6][1:]))
    for dose in np.linspace(0.75, DARKEST, 20):
        assert apart(np.array(material.colour(float(dose)).lab), made(float(dose))) < 1
    assert material.doses == (0.75, 12)


def test_bands_of_swatches_left_out_hold_new_swatches() -> None:
    rng = np.random.default_rng(7)
    laws: list[Made] = [functools.partial(dye, exponents) for exponents in EXPONENTS.values()]
    inside: dict[int, list[bool]] = {}
    wide: list[float] = []
    for count, made, _ in itertools.product((4, 5, 6, 8), [*laws, BLUE_IN_YELLOW], range(6)):
        material = fit_swatches(measured(made, DOSES[count], rng))
        for dose in DARKEST * rng.uniform(0, 1, 12) ** 2:
            band = material.band(float(dose))
            assert band is not None
            new = made(float(dose))[0] + rng.normal(0, SCATTER[0])
            inside.setdefault(count, []).append(band.darkest.lab[0] <= new <= band.lightest.lab[0])
            wide.append(band.lightest.lab[0] - band.darkest.lab[0])
    assert 0.92 <= np.mean(list(itertools.chain(*inside.values()))) <= 0.98
    assert min(np.mean(one) for one in inside.values()) > 0.88
    assert np.mean(wide) < 10


def test_three_doses_give_no_band_and_no_error_of_a_swatch_left_out() -> None:
    material = fit_swatches(measured(functools.partial(dye, EXPONENTS["0.65"]), DOSES[3]))
    assert material.left_out is None
    assert material.band(5) is None
    assert material.error == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize("half", [1.0, 3.0])
@pytest.mark.parametrize("doses", [(0, 2, 5, 12), (0, 3, 12)])
def test_the_swatches_that_a_note_asks_for_make_the_steps_even(half: float, doses: tuple[float, ...]) -> None:
    """A dye that saturates, K/S ~ d / (half + d): no power of the dose; the first swatches miss where it changes."""
    plain, darkest = k_over_s("#f3ede0"), k_over_s("#7a4b2a")

    def made(dose: float) -> Lab:
        return lab_of(plain + (darkest - plain) * dose / (half + dose) * (half + DARKEST) / DARKEST)

    def unevenness(at: Sequence[float]) -> tuple[float, float | None]:
        reply = create_app().test_client().post("/v1/fades", json={
            "swatches": [{"dose": dose, "lab": dict(zip(("lightness", "a", "b"), map(float, made(dose)), strict=True))}
                         for dose in at],
            "portions": [{"name": name} for name in names(7)]}).json
        assert reply is not None
        colours = [made(row["dose"]) for row in reply["portions"]]
        steps = [apart(one, two) for one, two in itertools.pairwise(colours)]
        noted = re.search(r"Make a swatch of about ([\d.e-]+) g/kg", " ".join(reply["notes"]))
        return max(steps) / min(steps), float(noted[1]) if noted else None

    at = sorted(map(float, doses))
    first, wanted = unevenness(at)
    assert first > 5
    rounds = 0
    while wanted is not None and rounds < 3:
        assert at[1] / 10 <= wanted * 1.001
        assert wanted < at[1]
        at, rounds = sorted([*at, wanted]), rounds + 1
        last, wanted = unevenness(at)
    assert last < 3


@pytest.mark.parametrize("count", [count for count in DOSES if count > 3])
@pytest.mark.parametrize("exponents", EXPONENTS.values(), ids=EXPONENTS)
def test_the_model_is_the_law_the_colourant_was_made_by(exponents: tuple[float, ...], count: int) -> None:
    # K/S straight against the dose is seen as straight, a power of it as a power: the simplest model that is as good
    material = fit_swatches(measured(functools.partial(dye, exponents), DOSES[count]))
    assert material.model == ("straight" if set(exponents) == {1} else "power")


@pytest.mark.parametrize("count", [count for count in DOSES if count > 4])
def test_a_pigment_that_is_no_power_of_the_dose_is_interpolated(count: int) -> None:
    assert fit_swatches(measured(BLUE_IN_YELLOW, DOSES[count])).model == "interpolated"
