"""A fixed point by repeated substitution, which never returns a value that has not settled."""

from __future__ import annotations

from collections.abc import Callable, Sequence

__all__ = ["NotSettled", "settle"]

_STEPS_MAX = 60


class NotSettled(RuntimeError):
    """An internal error: a calculation that must settle did not, so it has no result."""


def settle(step: Callable[[Sequence[float]], Sequence[float]], start: Sequence[float], *, close: float,
           what: str) -> tuple[float, ...]:
    """Values x with step(x) = x, from a start that is near enough for every step to come closer.

    Parameters
    ----------
    step : callable
        The next values, from the last ones. [any unit]
    start : sequence of float
        The first values. [any unit]
    close : float
        Largest relative change of a settled value. [1]
    what : str
        What is computed, for the error. [text]

    Returns
    -------
    tuple of float : as of the last step. [unit of the start]

    Raises
    ------
    NotSettled : the values still change after many steps.

    Notes
    -----
    `scipy.optimize.fixed_point(method="iteration")` does the same; it takes 80 microseconds a call where this takes
    one, and these loops run many times in a batch.
    """
    values = tuple(start)
    for _ in range(_STEPS_MAX):
        before, values = values, tuple(step(values))
        if all(abs(now - then) <= close * abs(now) for now, then in zip(values, before, strict=True)):
            return values
    raise NotSettled(f"{what} did not settle within {_STEPS_MAX} steps: {values}")
