"""The templates of this room: how they are compiled and held, and what is at hand in them."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any

from jinja2 import BytecodeCache, Environment, PackageLoader, StrictUndefined, Undefined
from jinja2.bccache import Bucket
from jinja2.compiler import CodeGenerator
from jinja2.runtime import Context
from markupsafe import Markup, escape

from kettlewright.languages import current_locale, day_on_paper, figure, gettext, ngettext
from kettlewright.views.figures import floored, measured, on_scale, plain, sign

__all__ = ["compile_templates", "compiled_templates", "template", "use_compiled"]

_OF_EVERY_DICT = frozenset(dir(dict))
_ANY_TO_ESCAPE = re.compile("[&<>'\"]").search


class _Code(CodeGenerator):
    """Compiles as Jinja does, but what is printed passes through `_Templates.escaped`."""

    def _output_child_pre(self, *_: object) -> None:
        self.write("environment.escaped(")


class _Context(Context):
    """Calls as Jinja does, but does not look first whether a function wants the context: none here does."""

    def call(self, called: Any, /, *args: Any, **values: Any) -> Any:
        """What a function or a macro gives (`called`, with `args` and `values`)."""
        values.pop("_loop_vars", None)
        return called(*args, **values)


class _Templates(Environment):
    """Templates over JSON, which do what Jinja's do, in half the time."""

    code_generator_class = _Code
    context_class = _Context

    @staticmethod
    def escaped(value: Any) -> str:
        """A value as it is printed, escaped like `markupsafe.escape`, but marked as safe only if it was (`value`).

        A sheet prints a thousand; to mark each took a fifth of the time of the whole sheet.
        """
        kind = type(value)
        if kind is Markup or (kind is str and _ANY_TO_ESCAPE(value) is None):
            return value  # type: ignore[no-any-return]  # one of them
        if kind is float or kind is int:
            return str(value)
        return "" if kind is Undefined else escape(value)  # an `if` without `else`; a missing key is `StrictUndefined`

    def getattr(self, obj: Any, attribute: str) -> Any:
        """As Jinja finds it (`obj`, `attribute`), but the key of a dict at once: Jinja looks for an attribute first.
        """
        if type(obj) is dict and attribute not in _OF_EVERY_DICT:
            return obj[attribute] if attribute in obj else self.undefined(obj=obj, name=attribute)
        try:
            return getattr(obj, attribute)
        except AttributeError:
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
    return _filled(gettext(text), values) if values else _fixed(text, current_locale.get())


@lru_cache(maxsize=1024)  # a template's own words, a few hundred in each language
def _fixed(text: str, locale: str) -> Markup:  # `locale` is the current one
    return Markup(gettext(text) % ())


def _texts(one: str, many: str, num: int, **values: Any) -> Markup:
    """A text that depends on a number, as `_text` (`one`, `many`, `num`, `values`)."""
    return _filled(ngettext(one, many, num), {"num": num, **values})


def _filled(said: str, values: dict[str, Any]) -> Markup:
    return Markup(said % {name: _Templates.escaped(value) for name, value in values.items()})


_compiled = _Compiled()
_environment = _Templates(loader=PackageLoader("kettlewright.views"), autoescape=True, undefined=StrictUndefined,
                          trim_blocks=True, lstrip_blocks=True, extensions=["jinja2.ext.i18n"], auto_reload=False,
                          bytecode_cache=_compiled)
_environment.policies["ext.i18n.trimmed"] = True
# "newstyle": values are put in by the function and escaped there, whatever the catalogue says
_environment.newstyle_gettext = True  # type: ignore[attr-defined]  # the extension adds it to the environment
_environment.globals.update(_=_text, gettext=_text, ngettext=_texts, language=current_locale.get)
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
