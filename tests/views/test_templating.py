"""Templates: escaping, missing values, texts in both languages, and compiling."""

from __future__ import annotations

from typing import Any

import pytest
from jinja2 import UndefinedError
from kettlewright.amounts import mass
from kettlewright.languages import using_locale
from kettlewright.said import Said
from kettlewright.views import templating
from kettlewright.views.templating import compile_templates, compiled_templates, use_compiled
from markupsafe import Markup


def rendered(source: str, **values: Any) -> str:
    return templating._environment.from_string(source).render(**values)


@pytest.mark.parametrize(("value", "printed"), [
    ("a < b & c > \"d\" 'e'", "a &lt; b &amp; c &gt; &#34;d&#34; &#39;e&#39;"), ("plain", "plain"), ("", ""),
    (Markup("<b>&amp;</b>"), "<b>&amp;</b>"), (Said("{m} <", m=mass(5)), "5 g &lt;"), (1.5, "1.5"), (-0.0, "-0.0"),
    (12, "12"), (True, "True"), (None, "None"), (["<"], "[&#39;&lt;&#39;]")])
def test_whatever_is_printed_is_escaped_once(value: object, printed: str) -> None:
    assert rendered("{{ one }}", one=value) == printed
    assert rendered("{% macro m(x) %}{{ x }}{% endmacro %}{{ m(one) }}", one=value) == printed
    assert rendered("{% trans a=one %}of {{ a }}{% endtrans %}", one=value) == f"of {printed}"
    assert rendered("{% set kept %}{{ one }}{% endset %}{{ kept }}", one=value) == printed
    assert rendered("{{ one ~ '<' }}", one=value) == f"{printed}&lt;"


def test_a_key_that_is_missing_may_be_asked_for_and_not_printed() -> None:
    reply = {"here": {"items": 3}}
    assert rendered("{{ reply.gone is defined }} {{ reply.here is defined }}", reply=reply) == "False True"
    assert rendered("{{ reply.here['items'] }}", reply=reply) == "3"
    with pytest.raises(UndefinedError, match="gone"):
        rendered("{{ reply.gone }}", reply=reply)
    with pytest.raises(UndefinedError, match="gone"):
        rendered("{{ reply.gone.further is defined }}", reply=reply)


def test_an_if_without_else_prints_nothing() -> None:
    assert rendered("{% for one in 'ab' %}{{ one }}{{ ', ' if not loop.last }}{% endfor %}") == "a, b"


def test_a_text_is_in_the_language_of_the_page_whatever_came_before() -> None:
    for locale, words in (("en", "Lot"), ("de", "Charge"), ("en", "Lot")):
        with using_locale(locale):
            assert rendered("{% trans %}Lot{% endtrans %}, {{ _('Lot') }}") == f"{words}, {words}"


@pytest.mark.parametrize(("count", "words"), [(1, "1 loaf & 100 %"), (3, "3 loaves & 100 %")])
def test_a_text_may_depend_on_a_number_and_have_a_percent_sign(count: int, words: str) -> None:
    source = "{% trans count=n %}{{ count }} loaf & 100 %{% pluralize %}{{ count }} loaves & 100 %{% endtrans %}"
    assert rendered(source, n=count) == words


def test_what_another_process_compiled_is_not_compiled_again(monkeypatch: pytest.MonkeyPatch) -> None:
    known = templating._environment.cache
    assert known is not None
    known.clear()
    found = dict(compiled_templates())
    known.clear()
    templating._compiled.held.clear()
    monkeypatch.setattr(templating._Templates, "compile", None)
    use_compiled(found)
    compile_templates()
    assert len(known) == len(found) > 10
    assert not templating._compiled.held
