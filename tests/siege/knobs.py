"""Knobs of a request: numbers and choices that a search turns to make a request more expensive."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

__all__ = ["Body", "Family", "Knob", "Settings", "choice", "real", "whole"]

Settings = dict[str, Any]
Body = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Knob:
    """One thing that may be turned.

    Parameters
    ----------
    options : tuple
        The choices; or the lowest and highest number. [any]
    kind : str
        choice, whole or real; numbers are drawn evenly by their logarithm. [key]
    """

    options: tuple[Any, ...]
    kind: str

    def draw(self, rng: random.Random) -> Any:
        """A setting at random, its ends more often than anything else (`rng`): the worst is often at a limit."""
        if self.kind == "choice":
            return rng.choice(self.options)
        low, high = self.options
        if rng.random() < 0.3:
            return rng.choice((low, high, high))
        shift = 1.0 if low <= 0 else 0.0
        drawn = math.exp(rng.uniform(math.log(low + shift), math.log(high + shift))) - shift
        return self._kept(drawn)

    def step(self, rng: random.Random, value: Any) -> Any:
        """A setting near another (`rng`, `value`)."""
        if self.kind == "choice" or rng.random() < 0.15:
            return self.draw(rng)
        factor = math.exp(rng.gauss(0, 0.35))
        moved = value * factor + (rng.choice((-1, 0, 1)) if self.kind == "whole" else 0.0)
        return self._kept(moved)

    def _kept(self, value: float) -> Any:
        low, high = self.options
        kept = min(max(value, low), high)
        return round(kept) if self.kind == "whole" else float(f"{kept:.4g}")


def whole(low: int, high: int) -> Knob:
    """A whole number from `low` to `high`."""
    return Knob((low, high), "whole")


def real(low: float, high: float) -> Knob:
    """A number from `low` to `high`."""
    return Knob((low, high), "real")


def choice(*options: Any) -> Knob:
    """One of `options`."""
    return Knob(options, "choice")


@dataclass(frozen=True, slots=True)
class Family:
    """Requests of one operation, made from knobs.

    Parameters
    ----------
    operation : str
        Its name. [text]
    knobs : mapping
        What the search may turn. [knobs]
    body : callable
        Makes the body of the settings; None where they do not fit together. [function]
    link : bool
        The request may also be made by its address. [yes or no]
    starts : tuple of mapping
        Settings to begin with: suspects. [settings]
    """

    operation: str
    knobs: Mapping[str, Knob]
    body: Callable[[Settings], Body | None]
    link: bool = False
    starts: tuple[Settings, ...] = ()

    def draw(self, rng: random.Random) -> Settings:
        """Settings at random (`rng`)."""
        return {name: knob.draw(rng) for name, knob in self.knobs.items()}

    def step(self, rng: random.Random, settings: Settings) -> Settings:
        """Settings with one or two of them changed (`rng`, `settings`)."""
        moved = dict(settings)
        for name in rng.sample(list(self.knobs), min(len(self.knobs), rng.choice((1, 1, 2, 3)))):
            moved[name] = self.knobs[name].step(rng, settings[name])
        return moved
