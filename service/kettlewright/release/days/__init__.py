"""Dates, drying, and calendars of several batches."""

__all__: list[str] = []
