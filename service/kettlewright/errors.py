"""Errors of the maths: one sentence for the maker, written next to the rule it comes from.

Every error names the field (a path relative to the value being checked), the value given, what is allowed and what to
do. `api/` turns paths into JSON Pointers and leaves the sentence as it is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

__all__ = ["CODES", "DomainError", "DomainErrors", "Missing", "NotLawful", "OutOfRange", "UnknownField",
           "UnknownIngredient", "Unsolvable", "WrongType", "check_distinct", "check_either", "check_one_of", "gather",
           "one_of", "repeated"]

Path = tuple[str | int, ...]

CODES = ("missing", "unknown_field", "wrong_type", "out_of_range", "unknown_ingredient", "conflict", "unsolvable",
         "not_lawful")
"""What an error is, for programs. [words]"""


class DomainError(ValueError):
    """A value of the request that cannot be used. Raised directly for values that contradict each other.

    Parameters
    ----------
    detail : str
        One or two sentences: what is wrong, what is allowed, what to do. [text]
    field : tuple of str and int
        Path of the field, relative to the value being checked. [path]
    value : object
        The value given. [as given]
    allowed : str
        What is allowed, where a few words suffice. [text]
    """

    code = "conflict"

    def __init__(self, detail: str, *, field: Path = (), value: object = None, allowed: str = "") -> None:
        super().__init__(detail)
        self.detail = detail
        self.field = field
        self.value = value
        self.allowed = allowed

    def at(self, *prefix: str | int) -> DomainError:
        """The same error with a path prefix (`prefix`: the path of the object that holds the checked one) [path]."""
        return self.at_field((*prefix, *self.field))

    def at_field(self, field: Path) -> DomainError:
        """The same error at another place (`field`) [path]."""
        return type(self)(self.detail, field=field, value=self.value, allowed=self.allowed)

    def with_texts(self, write: Callable[[str], str]) -> DomainError:
        """The same error, its texts rewritten by a function, such as into the request's units (`write`). [error]"""
        return type(self)(write(self.detail), field=self.field, value=self.value, allowed=write(self.allowed))


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
    """A key that is in none of the tables."""

    code = "unknown_ingredient"


class Unsolvable(DomainError):
    """Each value is valid on its own, but together they have no solution."""

    code = "unsolvable"


class NotLawful(Unsolvable):
    """A value that the rules of the market do not allow."""

    code = "not_lawful"


def one_of(given: object) -> type[DomainError]:
    """The error of a rule "exactly one of": `Missing` if none is given (`given` is None), else a conflict. [class]"""
    return Missing if given is None else DomainError


def check_either(one: object, other: object, advice: str, *, field: Path, value: object = None) -> None:
    """Reject both or neither of two values (`one`, `other`: None if not given; `advice` without a stop [text];
    `field`, `value`: as of the error).

    Raises
    ------
    DomainError, Missing : not exactly one was given.
    """
    if (one is None) == (other is None):
        raise one_of(one)(f"{advice}; {'neither was' if one is None else 'both were'} given.", field=field, value=value)


class DomainErrors(ValueError):
    """Several errors found in one pass, so that a maker can correct them all at once.

    Parameters
    ----------
    errors : sequence of DomainError, length n >= 1
        In the order found. [errors]
    """

    def __init__(self, errors: Sequence[DomainError]) -> None:
        super().__init__("; ".join(error.detail for error in errors))
        self.errors = tuple(errors)

    def at(self, *prefix: str | int) -> DomainErrors:
        """The same errors with a path prefix (`prefix`: the path of the object that holds the checked one) [path]."""
        return DomainErrors([error.at(*prefix) for error in self.errors])

    def with_texts(self, write: Callable[[str], str]) -> DomainErrors:
        """The same errors, their texts rewritten by a function (`write`). [errors]"""
        return DomainErrors([error.with_texts(write) for error in self.errors])


class _Check:
    """One independent check: it collects what the check raises, with a path prefix, and lets the next one run."""

    __slots__ = ("_checks", "_prefix")

    def __init__(self, checks: gather, prefix: Path) -> None:
        self._checks, self._prefix = checks, prefix

    def __enter__(self) -> None:
        return None

    def __exit__(self, _kind: object, error: BaseException | None, _trace: object) -> bool:
        if not isinstance(error, (DomainError, DomainErrors)):
            return False
        self._checks.add(error, *self._prefix)
        return True


class gather:  # read as a verb: with gather() as checks, checks.at("recipe"): ...
    """Run independent checks and raise everything they found together, as `DomainErrors`.

    A class rather than a generator: a batch enters some 300 of these, and each generator cost a twentieth of a request.
    """

    __slots__ = ("errors",)

    def __init__(self) -> None:
        self.errors: list[DomainError] = []

    def __enter__(self) -> gather:
        return self

    def __exit__(self, kind: object, _error: object, _trace: object) -> None:
        if kind is None and self.errors:
            raise DomainErrors(self.errors)

    def at(self, *prefix: str | int) -> _Check:
        """A block for one check; the errors it raises get `prefix` before their path (`prefix`) [path]."""
        return _Check(self, prefix)

    def run(self, check: Callable[[], object], *prefix: str | int) -> None:
        """Run one check as in a block of `at`, in a third of the time of such a block (`check`, `prefix`: as there)."""
        try:
            check()
        except (DomainError, DomainErrors) as error:
            self.add(error, *prefix)

    def add(self, error: DomainError | DomainErrors, *prefix: str | int) -> None:
        """Note an error that was caught, as `at` does; in a loop that runs often, `try` costs nothing where nothing is
        raised (`error`, `prefix`: the path of the checked object [path])."""
        found = error.errors if isinstance(error, DomainErrors) else (error,)
        self.errors += [one.at(*prefix) for one in found]


def check_distinct(keys: Sequence[str], what: str, *, field: str = "name") -> None:
    """Reject a duplicate key (`keys` [keys], `what` they are, the `field` that holds them, empty if the
    list contains the names [text]).

    Raises
    ------
    DomainError : names the second place.
    """
    for index in repeated(keys):
        raise DomainError(f'There are two of "{keys[index]}"; give each {what} its own name.', value=keys[index],
                          field=(index, field) if field else (index,))


def repeated(keys: Iterable[str]) -> Iterator[int]:
    """Places whose key stands at an earlier place too (`keys` [keys])."""
    seen: set[str] = set()
    for index, key in enumerate(keys):
        if key in seen:
            yield index
        seen.add(key)


def check_one_of(value: str, known: tuple[str, ...]) -> None:
    """Reject a word that is not in a list.

    Parameters
    ----------
    value : str
        The word given. [key]
    known : tuple of str
        The list. [keys]

    Raises
    ------
    OutOfRange : it is not among them.
    """
    if value not in known:
        raise OutOfRange(f'"{value}" is not known; use one of {", ".join(known)}.', value=value,
                         allowed=", ".join(known))
