"""Code made from the contract. Written by `make contract` from openapi.yaml; do not edit."""

__all__: list[str] = []
