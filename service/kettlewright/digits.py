"""How many digits a number in a response has."""

from __future__ import annotations

from math import isfinite

__all__ = ["nine_digits"]

_EXACT = 1e9  # a whole number below has nine digits at most


def nine_digits(value: float) -> float:
    """Round a number to nine significant digits.

    Parameters
    ----------
    value : float
        The number. [any unit]

    Returns
    -------
    float : [as given]

    Raises
    ------
    ValueError : the number is not finite; such a number never leaves the service.
    """
    if -_EXACT < value < _EXACT:
        whole = int(value)
        if value == whole:
            return float(whole)
    elif not isfinite(value):
        raise ValueError("a number that is not finite cannot be put in a response")
    return float(f"{value:.9g}") + 0.0  # adding 0 turns -0.0 into 0.0
