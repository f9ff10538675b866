"""The door: generic HTTP, JSON and fields; nothing here knows soap."""

__all__: list[str] = []
