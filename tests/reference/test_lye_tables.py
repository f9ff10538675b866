"""Tables of lye: curves and grids, and printed values."""

from __future__ import annotations

import pytest
from kettlewright.reference.lye_tables import (
    Grid,
    TableCurve,
    naoh_boiling_point,
    naoh_density,
    naoh_heat_capacity,
    naoh_heat_of_solution,
)


def test_curves_and_grids_hold_at_their_points_between_and_beyond() -> None:
    curve = TableCurve((1, 2, 4), (10, 20, 60))
    assert [curve.at(x) for x in (1, 1.5, 2, 3, 4, 0, 9)] == [10, 15, 20, 40, 60, 10, 60]
    grid = Grid((0, 10), (0, 2), ((0, 2), (10, 12)))
    assert [grid.at(0, 0), grid.at(10, 2), grid.at(5, 1), grid.at(-1, 9)] == [0, 12, 6, 2]
    with pytest.raises(ValueError, match="ascending"):
        TableCurve((1, 1), (2, 3))
    with pytest.raises(ValueError, match="every row"):
        Grid((0, 10), (0, 2), ((0, 2),))


def test_the_lye_tables_hold_what_is_printed() -> None:
    assert naoh_density().at(50, 20) == 1.5253
    assert naoh_density().at(32, 40) == 1.3362
    assert naoh_heat_of_solution().at(4) == 34.43
    assert naoh_heat_capacity().at(30) == 3.601
    assert naoh_boiling_point().at(40) == 128
