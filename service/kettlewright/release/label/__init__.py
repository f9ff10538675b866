"""What a label lists, names and promises."""

__all__: list[str] = []
