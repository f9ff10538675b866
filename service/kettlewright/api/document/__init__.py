"""The contract as a document, and its pages."""

__all__: list[str] = []
