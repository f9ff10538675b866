"""Colours of a batter by its swatches, and the doses of a fade."""

__all__: list[str] = []
