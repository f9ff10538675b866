"""The block cut into loaves and bars."""

__all__: list[str] = []
