"""Names of the enums in the contract, so that a generated client has `AdditionKind` and not `Kind3`.

An enum is named after its schema and its field, unless `NAMED` has a better name. An enum that several schemas share
must be there; the document is not built while it is missing.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from marshmallow import class_registry

from kettlewright.api.door.fields import Choice
from kettlewright.api.door.strict import ListOf

__all__ = ["NAMED", "EnumNames"]

NAMED: Mapping[str, str] = MappingProxyType({
    "AcidKey": "AcidInput.acid", "AdditionBasis": "AdditionInput.basis", "AlkaliKey": "AlkaliInput.alkali",
    "AllergenListKey": "LabelInput.allergen_list", "Arrangement": "PortionsRequest.arrangement",
    "Carrier": "DispersionInput.carrier", "CautionPlace": "TriggeredCaution.place",
    "CautionSeverity": "TriggeredCaution.severity", "ColourantKind": "FadesRequest.kind",
    "DoseUnit": "UnitsChoice.dose", "FadeSteps": "FadesRequest.steps", "FatKind": "FatLine.kind",
    "IngredientNaming": "LabelInput.naming", "LengthUnit": "UnitsChoice.length", "Locale": "LyeRequest.locale",
    "Market": "LabelInput.market", "MassUnit": "UnitsChoice.mass", "NextStep": "NextAction.what",
    "Provenance": "FatLine.provenance", "ResolvedUnit": "ResolvedLineInput.unit",
    "RestsOn": "ResolvedLineInput.rests_on", "ScheduleObjective": "SchedulesRequest.objective",
    "SoldAs": "LabelInput.sold_as", "Stage": "ActualsRequest.stage", "SwatchGelled": "SwatchInput.gelled",
    "SwatchState": "SwatchInput.state", "TemperatureUnit": "UnitsChoice.temperature", "Vessel": "WeighRowInput.where",
    "VolumeUnit": "UnitsChoice.volume", "Weekday": "ClosedInput.weekdays", "WeighRowKind": "WeighRowInput.kind",
    "WorstSeverity": "BaseResponse.worst_severity"})
"""Names that no rule makes, with one field that has the enum: schema and field. [names]"""

_ENDINGS = ("Input", "Request", "Response", "Result")


class EnumNames:
    """Names by the words of an enum."""

    def __init__(self) -> None:
        self._names = {_words(place): name for name, place in NAMED.items()}
        self._places: dict[tuple[str, ...], tuple[str, str]] = {}

    def name(self, words: tuple[str, ...], schema: str, field: str) -> str:
        """The name of an enum.

        Parameters
        ----------
        words : tuple of str
            Its values. [text]
        schema, field : str
            Where it is used. [names]

        Returns
        -------
        str

        Raises
        ------
        LookupError : two schemas share it, and `NAMED` has no name for it.
        """
        if words in self._names:
            return self._names[words]
        before = self._places.setdefault(words, (schema, field))
        if before != (schema, field):
            raise LookupError(f"{'.'.join(before)} and {schema}.{field} have the same words: give this enum a name in "
                              f"{__name__}.NAMED.")
        ending = next((one for one in _ENDINGS if schema.endswith(one)), "")
        return schema.removesuffix(ending) + "".join(word.capitalize() for word in field.split("_"))


def _words(place: str) -> tuple[str, ...]:
    """The words of a field (`place`: schema and field)."""
    schema, _, name = place.partition(".")
    kind = class_registry.get_class(schema)
    assert isinstance(kind, type)
    field = kind._declared_fields[name]
    choice = field.inner if isinstance(field, ListOf) else field
    assert isinstance(choice, Choice), place
    return choice.choices
