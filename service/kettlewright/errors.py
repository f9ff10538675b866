"""What the maths says when it cannot answer: one sentence in the maker's words, written where the rule lives.

Every error names the field (a path relative to the value being checked), the value given, what is allowed and
what to do. The door turns paths into JSON Pointers; it never rewrites the sentence.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

__all__ = ["CODES", "DomainError", "Fault", "Faults", "Missing", "NotLawful", "OutOfRange", "UnknownField",
           "UnknownIngredient", "Unsolvable", "WrongType", "gather", "one_of"]

Path = tuple[str | int, ...]

CODES = ("missing", "unknown_field", "wrong_type", "out_of_range", "unknown_ingredient", "conflict", "unsolvable",
         "not_lawful")
"""What an error is, for programs. [words]"""


class DomainError(ValueError):
    """A value of the request that cannot be used. This class itself stands for values that contradict each other.

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

    code = "conflict"

    def __init__(self, detail: str, *, field: Path = (), value: object = None, allowed: str = "") -> None:
        super().__init__(detail)
        self.detail = detail
        self.field = field
        self.value = value
        self.allowed = allowed

    def at(self, *prefix: str | int) -> DomainError:
        """The same error, seen from the object that holds the checked one (`prefix`: path parts) [path]."""
        return self.moved((*prefix, *self.field))

    def moved(self, field: Path) -> DomainError:
        """The same error at another place (`field`) [path]."""
        return type(self)(self.detail, field=field, value=self.value, allowed=self.allowed)

    def put(self, say: Callable[[str], str]) -> DomainError:
        """The same error with its texts put by a function, such as in the units of the request (`say`). [error]"""
        return type(self)(say(self.detail), field=self.field, value=self.value, allowed=say(self.allowed))


Fault = DomainError


class Missing(DomainError):
    """A value that is needed and was not given."""

    code = "missing"


class UnknownField(DomainError):
    """A field, or a key or part of an address, that is not known."""

    code = "unknown_field"


class WrongType(DomainError):
    """A value of another type, or a text that is not written in the form needed."""

    code = "wrong_type"


class OutOfRange(DomainError):
    """A value that is not among those allowed: a number outside its bounds, a word that is not in the list."""

    code = "out_of_range"


class UnknownIngredient(DomainError):
    """A key that no table of ours has."""

    code = "unknown_ingredient"


class Unsolvable(DomainError):
    """Each value is fine by itself, but together they have no answer."""

    code = "unsolvable"


class NotLawful(Unsolvable):
    """A value that the rules of the market do not allow."""

    code = "not_lawful"


def one_of(given: object) -> type[DomainError]:
    """The error of a rule "exactly one of": `Missing` where none is given (`given` is None), else a conflict."""
    return Missing if given is None else DomainError


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

    def put(self, say: Callable[[str], str]) -> Faults:
        """The same faults with their texts put by a function (`say`). [faults]"""
        return Faults([fault.put(say) for fault in self.faults])


class _Place:
    """One independent check: what it raises is kept, with its prefix, and the next one runs."""

    __slots__ = ("_faults", "_prefix")

    def __init__(self, faults: list[DomainError], prefix: Path) -> None:
        self._faults, self._prefix = faults, prefix

    def __enter__(self) -> None:
        return None

    def __exit__(self, _kind: object, error: BaseException | None, _trace: object) -> bool:
        if isinstance(error, DomainError):
            self._faults.append(error.at(*self._prefix))
        elif isinstance(error, Faults):
            self._faults.extend(error.at(*self._prefix).faults)
        else:
            return False
        return True


class gather:  # read as a verb: with gather() as checks, checks.at("recipe"): ...
    """Runs independent checks and raises everything they found together, as `Faults`.

    A class and not a generator: a batch passes some 300 of these, and a generator each cost a twentieth of a request.
    """

    __slots__ = ("faults",)

    def __init__(self) -> None:
        self.faults: list[DomainError] = []

    def __enter__(self) -> gather:
        return self

    def __exit__(self, kind: object, _error: object, _trace: object) -> None:
        if kind is None and self.faults:
            raise Faults(self.faults)

    def at(self, *prefix: str | int) -> _Place:
        """A place for one check; what it raises gets `prefix` before its path (`prefix`: path parts) [path]."""
        return _Place(self.faults, prefix)
