"""What a batch and a bar cost, what they sell for, and what to buy."""

__all__: list[str] = []
