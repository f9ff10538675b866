"""What the maths says when it cannot answer: one sentence in the maker's words, written where the rule lives.

Every error names the field (a path relative to the value being checked), the value given, what is allowed and
what to do. The door turns paths into JSON Pointers; it never rewrites the sentence.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

__all__ = ["DomainError", "Fault", "Faults", "OutOfRange", "UnknownIngredient", "Unsolvable", "gather"]

Path = tuple[str | int, ...]


class DomainError(ValueError):
    """Something in the request that no right answer exists for.

    Parameters
    ----------
    detail : str
        One or two sentences: what is wrong, what is allowed, what to do. [text]
    field : tuple of str and int
        Path of the field, relative to the value being checked. [path]
    value : object
        What was given. [as given]
    allowed : str
        What is allowed, where it can be said in a few words. [text]
    """

    code = "wrong_value"

    def __init__(self, detail: str, *, field: Path = (), value: object = None, allowed: str = "") -> None:
        super().__init__(detail)
        self.detail = detail
        self.field = field
        self.value = value
        self.allowed = allowed

    def at(self, *prefix: str | int) -> DomainError:
        """The same error, seen from the object that holds the checked one (`prefix`: path parts) [path]."""
        return type(self)(self.detail, field=(*prefix, *self.field), value=self.value, allowed=self.allowed)


Fault = DomainError


class OutOfRange(DomainError):
    """A number outside what the maths or the workshop can hold."""

    code = "out_of_range"


class UnknownIngredient(DomainError):
    """A key that no table of ours has."""

    code = "unknown_ingredient"


class Unsolvable(DomainError):
    """Each value is fine by itself, but together they have no answer."""

    code = "unsolvable"


class Faults(ValueError):
    """Several errors found in one go, so that a maker mends them all at once.

    Parameters
    ----------
    faults : sequence of DomainError, length n >= 1
        In the order found. [errors]
    """

    def __init__(self, faults: Sequence[DomainError]) -> None:
        super().__init__("; ".join(fault.detail for fault in faults))
        self.faults = tuple(faults)

    def at(self, *prefix: str | int) -> Faults:
        """The same faults, seen from the object that holds the checked one (`prefix`: path parts) [path]."""
        return Faults([fault.at(*prefix) for fault in self.faults])


class _Gatherer:
    """Collects what several independent checks raise."""

    def __init__(self) -> None:
        self.faults: list[DomainError] = []

    @contextmanager
    def at(self, *prefix: str | int) -> Iterator[None]:
        """Run a block; keep what it raises, with `prefix` before its path, and go on."""
        try:
            yield
        except DomainError as error:
            self.faults.append(error.at(*prefix))
        except Faults as error:
            self.faults.extend(error.at(*prefix).faults)


@contextmanager
def gather() -> Iterator[_Gatherer]:
    """Run independent checks and raise everything they found together, as `Faults`."""
    gatherer = _Gatherer()
    yield gatherer
    if gatherer.faults:
        raise Faults(gatherer.faults)
