"""Numbers and texts of the reply as they are printed, in the language of the request."""

from __future__ import annotations

import math
from decimal import Decimal
from functools import lru_cache
from typing import Any

from jinja2 import BytecodeCache, Environment, PackageLoader, StrictUndefined
from jinja2.bccache import Bucket
from markupsafe import Markup

from kettlewright.amounts import SYMBOLS
from kettlewright.languages import current_locale, day_on_paper, figure, gettext, ngettext, translated
from kettlewright.said import Said

__all__ = ["compile_templates", "compiled_templates", "floored", "measured", "on_scale", "plain", "sign", "span",
           "template", "use_compiled"]


def plain(value: float | None, digits: int = 6) -> str:
    """A number without an exponent or trailing zeros (`value`, significant `digits`). [text]"""
    if value is None:
        return "–"
    places = max(digits - 1 - (math.floor(math.log10(abs(value))) if value else 0), 0)
    text = f"{value:.{places}f}"
    return figure(text.rstrip("0").rstrip(".") if "." in text else text)


def on_scale(value: float, step: float) -> str:
    """A mass with the decimals the scale shows, trailing zeros included (`value`, `step` [same unit]). [text]"""
    return figure(f"{value:.{_decimals(step)}f}")


@lru_cache(maxsize=64)  # a sheet has a dozen rows for each of its scales
def _decimals(step: float) -> int:
    return max(-int(Decimal(f"{step:.9g}").normalize().as_tuple().exponent), 0)


_LENGTH_DECIMALS = {"mm": 1, "cm": 2, "in": 2}


def measured(length: float, unit: str) -> str:
    """A length as a ruler shows it, its unit behind it (`length`, `unit` [key of the unit]). [text]"""
    return f"{_length(length, unit)} {unit}"


def _length(length: float, unit: str) -> str:
    return figure(f"{length:.{_LENGTH_DECIMALS[unit]}f}")


def span(low: float, high: float, unit: str) -> str:
    """A range of lengths with the unit once: "0.0 to 14.2 mm" (`low`, `high`, `unit` [key of the unit]).
    [text]
    """
    return translated(Said("{low} to {high}", low=_length(low, unit), high=measured(high, unit)))


def sign(unit: str) -> str:
    """A unit as people write it (`unit` [key]). [text]"""
    return SYMBOLS.get(unit, unit)


def floored(value: float) -> str:
    """A percentage rounded down to a tenth, so that paper never promises more than there is (`value` [%]). [text]"""
    return figure(f"{math.floor(value * 10 + 1e-9) / 10:.1f}")


_OF_EVERY_DICT = frozenset(dir(dict))


class _Templates(Environment):
    """Templates over JSON: what is behind a point is nearly always a key."""

    def getattr(self, obj: Any, attribute: str) -> Any:
        """As Jinja finds it (`obj`, `attribute`), but the key of a dict at once: Jinja looks for an attribute first.
        """
        if type(obj) is dict and attribute in obj and attribute not in _OF_EVERY_DICT:
            return obj[attribute]
        return super().getattr(obj, attribute)


class _Compiled(BytecodeCache):
    """Templates as compiled, by the key that Jinja gives each: so one process can compile for another."""

    def __init__(self) -> None:
        self.held: dict[str, bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Fill a bucket from what is held (`bucket`)."""
        if bucket.key in self.held:
            bucket.bytecode_from_string(self.held[bucket.key])

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Hold what was compiled (`bucket`)."""
        self.held[bucket.key] = bucket.bytecode_to_string()


def _text(text: str, **values: Any) -> Markup:
    """A text of a template (`text`, in which a percent sign is doubled) with its `values`, which are escaped."""
    said = gettext(text)
    return Markup(said) % values if values else Markup(said % ())


_compiled = _Compiled()
_environment = _Templates(loader=PackageLoader("kettlewright.views"), autoescape=True, undefined=StrictUndefined,
                          trim_blocks=True, lstrip_blocks=True, extensions=["jinja2.ext.i18n"], auto_reload=False,
                          bytecode_cache=_compiled)
_environment.policies["ext.i18n.trimmed"] = True
# "newstyle": values are put in by the template and escaped there, whatever the catalogue says
_environment.install_gettext_callables(gettext, ngettext, newstyle=True)  # type: ignore[attr-defined]  # the extension adds it to the environment
_environment.globals["gettext"] = _text  # the same as Jinja's, in a third of the time
_environment.globals["language"] = current_locale.get
_environment.filters.update(plain=plain, floored=floored, measured=measured, on_scale=on_scale, sign=sign,
                            amount=figure, day=day_on_paper, word=gettext)


def template(name: str) -> Any:
    """A template of this room, every word of the user escaped (`name` [file])."""
    return _environment.get_template(name)


def compile_templates() -> None:
    """Compile every template, so that no request has to."""
    for name in _environment.list_templates(extensions=["j2"]):
        template(name)
    _compiled.held.clear()  # they are in the environment now


def compiled_templates() -> dict[str, bytes]:
    """Every template, compiled here for another process of the same Python.

    Returns
    -------
    dict : [code by key]
    """
    for name in _environment.list_templates(extensions=["j2"]):
        template(name)
    return _compiled.held


def use_compiled(found: dict[str, bytes]) -> None:
    """Let `compile_templates` take what another process compiled; what is not there it compiles.

    Parameters
    ----------
    found : dict
        As `compiled_templates` gives it. [code by key]
    """
    _compiled.held.update(found)
