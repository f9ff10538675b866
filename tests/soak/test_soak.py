"""The soak's own sums: memory that grows is seen, noise is not; percentiles; what is written while it runs."""

from __future__ import annotations

import random

import pytest

from soak.load import KINDS, Call
from soak.memory import growth_of
from soak.report import Soak, page, quantile

TIMES = [10.0 * number for number in range(180)]  # half an hour


@pytest.mark.parametrize("per_hour_mb", [12.0, 40.0])
def test_memory_that_grows_through_noise_is_not_flat(per_hour_mb: float) -> None:
    drawn = random.Random(1)
    found = growth_of(TIMES, [130 + at / 3600 * per_hour_mb + drawn.gauss(0, 1.5) for at in TIMES])
    assert found.flat is False
    assert found.per_hour_mb == pytest.approx(per_hour_mb, abs=1.5)


def test_noise_single_peaks_and_a_saw_are_flat() -> None:
    drawn = random.Random(2)
    noise = [130 + drawn.gauss(0, 2) for _ in TIMES]
    peaks = [one + (60 if number % 23 == 5 else 0) for number, one in enumerate(noise)]
    saw = [130 + number % 12 for number in range(len(TIMES))]
    assert [growth_of(TIMES, one).flat for one in (noise, peaks, saw)] == [True, True, True]


def test_nothing_is_said_of_a_short_time() -> None:
    assert growth_of(TIMES[:30], [130 + at for at in TIMES[:30]]).flat is None


@pytest.mark.parametrize(("share", "wanted"), [(0.5, 50), (0.95, 95), (0.99, 99), (1.0, 100), (0.0, 1)])
def test_percentiles_are_the_nearest_rank(share: float, wanted: int) -> None:
    # ISO 3534-1, nearest rank: of 1 to 100 the p-th percentile is p
    assert quantile(list(range(1, 101)), share) == wanted
    assert quantile([7], share) == 7


def test_a_page_of_half_a_soak_says_so_and_names_what_was_lost() -> None:
    soak = Soak("make soak", 30, 100.0, 70.0)
    light = next(number for number, kind in enumerate(KINDS) if kind.group == "light")
    calls = [Call(light, 1.0, 5.0, "", 0)] * 98 + [Call(light, 2.0, 90.0, "", 0), Call(light, 2.0, 90.0, "Busy: x", 3)]
    soak.add(calls)
    soak.add_minute("1", calls, 60.0, [130.0, 131.0])
    text = page(soak, 1.0, over=False)
    assert "**Not finished**: 1 of 30 minutes so far." in text
    assert f"| {KINDS[light].name} | light | 100 | 1 | 5.0 | 90.0 | 18.0 |" in text
    assert "| 1 | 100 | 2 | 1 | 5.0 | 90.0 | nan | nan | 130 131 |" in text
    assert "- 1 requests lost" in text
    assert "left out because the callers were more than 2 s behind: 3" in text
    assert "It ran to its end." in page(soak, 30.0, over=True)


def test_the_shares_of_the_kinds_add_up() -> None:
    assert sum(kind.weight for kind in KINDS) == 100
    assert {kind.group for kind in KINDS} == {"light", "heavy", "sheet"}
