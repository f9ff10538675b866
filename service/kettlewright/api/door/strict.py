"""Objects and lists of a request: unknown names are rejected, and all errors are reported at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager, nullcontext
from functools import cached_property
from types import MappingProxyType
from typing import Any, ClassVar

from marshmallow import EXCLUDE, RAISE, Schema, ValidationError, fields, missing, post_load
from marshmallow.error_store import ErrorStore
from marshmallow.exceptions import SCHEMA

from kettlewright import limits
from kettlewright.api.door.checking import current_check
from kettlewright.api.door.field_errors import MESSAGES, NEEDED, field_error, from_maths, shown
from kettlewright.api.door.fields import Quantity, metadata_of
from kettlewright.errors import DomainError, DomainErrors
from kettlewright.names import or_nearest

__all__ = ["ListOf", "Part", "Strict", "Union"]

_OF_OBJECTS: dict[str, Any] = {**NEEDED, "type": MESSAGES["object"]}
_OF_LISTS: dict[str, Any] = {**NEEDED, "invalid": MESSAGES["list"]}
_OF_SCHEMAS: dict[str, Any] = {"type": MESSAGES["object"]}


class Part(fields.Nested):
    """An object inside another."""

    default_error_messages = _OF_OBJECTS

    def __init__(self, nested: Any, *, about: str = "", **more: Any) -> None:
        super().__init__(nested, **more)
        self.metadata = metadata_of(about)


class ListOf(fields.List[Any]):
    """A list, with a length that is checked."""

    default_error_messages = _OF_LISTS

    def __init__(self, item: Any, *, about: str = "", at_least: int = 0, at_most: int | None = None,
                 **more: Any) -> None:
        super().__init__(item, **more)
        self.at_least, self.at_most = at_least, at_most
        self.metadata = metadata_of(about, unit=getattr(self.inner, "unit", ""))

    def _deserialize(self, value: Any, attr: str | None, data: Any, **more: Any) -> list[Any]:
        if isinstance(value, list):
            if len(value) < self.at_least:
                raise field_error("out_of_range", f"needs at least {self.at_least} item"
                                                  f"{'s' if self.at_least > 1 else ''}.")
            if self.at_most is not None and len(value) > self.at_most:
                raise field_error("out_of_range", f"has {len(value)} items; at most {self.at_most} are allowed.")
        return self._items(value)

    def _items(self, value: Any) -> list[Any]:
        """The items, until the check of the request stops (`value`)."""
        if not isinstance(value, list):
            raise self.make_error("invalid")
        check, found, errors = current_check(), [], {}
        for index, item in enumerate(value):
            if check.over:
                check.skip(len(value) - index)
                break
            before = check.found
            try:
                found.append(self.inner.deserialize(item))
            except ValidationError as error:
                check.note(before, error)
                errors[index] = error.messages
        if errors:
            raise ValidationError(errors)
        return found


class Union(fields.Field[Any]):
    """One of several objects, distinguished by the word under one key."""

    default_error_messages = NEEDED

    def __init__(self, key: str, members: Mapping[str, Schema], *, name: str, about: str = "", **more: Any) -> None:
        super().__init__(**more)
        self.component = name  # its name in the contract
        self.key = key
        self.members = dict(members)
        self.metadata = metadata_of(about)

    def _deserialize(self, value: Any, attr: str | None, data: Any, **more: Any) -> Any:
        if not isinstance(value, dict):
            raise ValidationError([MESSAGES["object"]])
        word = value.get(self.key)
        if not isinstance(word, str) or word not in self.members:
            code = "missing" if self.key not in value else "out_of_range" if isinstance(word, str) else "wrong_type"
            problem = "is required." if code == "missing" else f"{shown(word)} is not known here."
            known = ", ".join(self.members)
            error = field_error(code, f"{problem} It is one of {known}.", allowed=known)
            raise ValidationError({self.key: error.messages})
        return self.members[word].load(value)


class Strict(Schema):
    """An object that rejects unknown fields and becomes a frozen object of the maths.

    The loaded fields are passed to `builds`; its errors are placed at the fields they name, so that one load reports
    all errors. Without `builds` the result is a dict.
    """

    class Meta:
        unknown = RAISE

    builds: ClassVar[Callable[..., Any] | None] = None
    exactly_one: ClassVar[tuple[tuple[str, ...], ...]] = ()
    """Groups of fields, by their names in JSON, of each of which a request gives exactly one; for the contract. The
    maths checks them, since its message says what each way means."""
    at_most_one: ClassVar[tuple[tuple[str, ...], ...]] = ()
    """Groups of which it gives one or none."""
    needed_with: ClassVar[Mapping[str, tuple[str, ...]]] = MappingProxyType({})
    """Fields, and the other fields that each of them needs beside it."""

    error_messages = _OF_SCHEMAS

    def on_bind_field(self, field_name: str, field_obj: fields.Field[Any]) -> None:
        """Name a quantity in JSON without the unit of the maths (`field_name`, `field_obj`)."""
        inner = field_obj.inner if isinstance(field_obj, fields.List) else field_obj
        if isinstance(inner, Quantity) and field_obj.data_key is None:
            field_obj.data_key = field_name.removesuffix(inner.suffix)

    def _deserialize(self, data: Any, *, error_store: ErrorStore, many: bool = False, partial: Any = None,
                     unknown: Any = RAISE, index: int | None = None) -> Any:
        """Load as marshmallow does, but report unknown names here: in the order of the body, up to a limit."""
        made = super()._deserialize(data, error_store=error_store, many=many, partial=partial, unknown=EXCLUDE,
                                    index=index)
        if isinstance(data, dict):
            self._refuse_unknown(data, error_store)
        return made

    @staticmethod
    def _call_and_store(getter_func: Callable[[Any], Any], data: Any, *, field_name: str, error_store: ErrorStore,
                        index: int | None = None) -> Any:
        """Load one field, unless the check of the request has stopped."""
        check = current_check()
        if check.over:
            check.skip(data is not missing)
            return missing
        before = check.found
        try:
            return getter_func(data)
        except ValidationError as error:
            check.note(before, error)
            error_store.store_error(error.messages, field_name, index=index)  # type: ignore[no-untyped-call]  # marshmallow's
            return missing

    @cached_property
    def _known(self) -> dict[str, None]:
        """Names that a body may have here, in the contract's order."""
        return {field.data_key or name: None for name, field in self.load_fields.items()}

    def _refuse_unknown(self, data: dict[str, Any], error_store: ErrorStore) -> None:
        if data.keys() <= self._known.keys():
            return
        check = current_check()
        unknown = [key for key in data if key not in self._known]
        for number, key in enumerate(unknown):
            if check.over:
                check.skip(len(unknown) - number)
                break
            check.found += 1
            listed = f" Known here: {', '.join(self._known)}." if check.first(type(self)) else ""
            detail = f"Unknown field {shown(key)}.{or_nearest(key, list(self._known))}{listed}"
            # a name that is longer than any of ours would make the pointer as long: point at what holds it
            place = key if len(key) <= limits.NAME_LENGTH_MAX else SCHEMA
            found = [{"detail": detail, "code": "unknown_field"}]
            error_store.store_error(found, place)  # type: ignore[no-untyped-call]  # marshmallow's

    @post_load
    def _make(self, data: dict[str, Any], **_: Any) -> Any:
        try:
            return self.build(data)
        except (DomainError, DomainErrors) as error:
            raise ValidationError(self._placed(error)) from None

    def completed(self, body: Mapping[str, Any]) -> Mapping[str, Any]:
        """The body as it is loaded, with values that it refers to by key; by default unchanged (`body`)."""
        return body

    def governing(self, body: Mapping[str, Any]) -> AbstractContextManager[None]:
        """What holds while a body is loaded and answered, such as its language; nothing by default (`body`)."""
        return nullcontext()

    def build(self, data: dict[str, Any]) -> Any:
        """Make the object of the maths of the loaded fields (`data`)."""
        make = type(self).builds
        if make is None:
            return data
        for key, value in data.items():
            if type(value) is list:
                data[key] = tuple(value)
        return make(**data)

    def _placed(self, error: DomainError | DomainErrors) -> dict[Any, Any]:
        tree: dict[Any, Any] = {}
        for fault in error.errors if isinstance(error, DomainErrors) else (error,):
            node = tree
            for part in fault.field:
                node = node.setdefault(part, {})
            node.setdefault("_schema", []).append(from_maths(fault))
        return tree
