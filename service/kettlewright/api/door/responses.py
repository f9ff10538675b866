"""Objects of a response: every field of theirs must be there."""

from __future__ import annotations

from typing import Any, ClassVar

from marshmallow import EXCLUDE, Schema, fields, missing

from kettlewright.api.door.strict import Strict

__all__ = ["IncompleteResponse", "ResponsePart"]


class IncompleteResponse(LookupError):
    """A result lacks a field of its reply: a mistake of ours, never of the caller."""


class ResponsePart(Schema):
    """A part of a response. Every field must be in the result, except those in `omitted`: they are left out if empty.

    marshmallow itself leaves out any field that a result lacks, so a renamed attribute would drop a figure without a
    word. Here it raises `IncompleteResponse`.
    """

    class Meta:
        unknown = EXCLUDE  # a newer service may say more; the contract must not forbid it

    omitted: ClassVar[tuple[str, ...]] = ()

    def __init__(self, **more: Any) -> None:
        self._left_out: set[str] = set()  # attributes shown under the names in `omitted`
        super().__init__(**more)

    def on_bind_field(self, field_name: str, field_obj: fields.Field[Any]) -> None:
        """Show a quantity without the unit of the maths in its name (`field_name`, `field_obj`)."""
        Strict.on_bind_field(self, field_name, field_obj)  # type: ignore[arg-type]  # the rule is the same both ways
        if (field_obj.data_key or field_name) in self.omitted:
            self._left_out.add(field_obj.attribute or field_name)

    def get_attribute(self, obj: Any, attr: str, default: Any) -> Any:
        """The value of a field of a response (of the result `obj`, `attr`, `default`); `missing` leaves the key out.

        marshmallow's own way tries `obj[attr]` before the attribute, on results that are dataclasses: it costs a tenth
        of the dump. A path with a dot in it is left to it.

        Raises
        ------
        IncompleteResponse : the result lacks a field that is not in `omitted`.
        """
        if "." in attr:
            value = super().get_attribute(obj, attr, missing)
        else:
            value = obj.get(attr, missing) if isinstance(obj, dict) else getattr(obj, attr, missing)
        if value is None or value is missing:
            if attr in self._left_out:
                return missing
            if value is missing:
                raise IncompleteResponse(f"{type(self).__name__} needs {attr}, which {type(obj).__name__} lacks")
        return value

