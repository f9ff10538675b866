"""How many digits a number is told with."""

from __future__ import annotations

import math

__all__ = ["nine_digits"]


def nine_digits(value: float) -> float:
    """A number with at most nine significant digits.

    Parameters
    ----------
    value : float
        The number. [any unit]

    Returns
    -------
    float : [as given]

    Raises
    ------
    ValueError : not finite; such a number never leaves the service.
    """
    if not math.isfinite(value):
        raise ValueError("a number that is not finite cannot be told")
    return float(f"{value:.9g}") + 0.0  # adding 0 turns -0.0 into 0.0
