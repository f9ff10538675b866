"""Short ways to say portions in a test."""

from __future__ import annotations

from typing import Any

from kettlewright.pour import Borrowing, Portion


def layers(*depths: float, **more: Any) -> list[Portion]:
    return [Portion(f"layer {index}", layer_depth_mm=depth, **more)
            for index, depth in enumerate(depths)]


def half_of(name: str) -> tuple[Borrowing, ...]:
    return (Borrowing(name, 50),)
