"""Moulds: their shapes, how full they are, which of those at hand to fill, and the block that comes out."""

__all__: list[str] = []
