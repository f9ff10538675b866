"""Pages that need no JavaScript: an answer of the service, a problem, and what is here."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Protocol

from markupsafe import Markup

from kettlewright.languages import in_language_of_response
from kettlewright.views.bench import cautions_by_place
from kettlewright.views.styles import style_of
from kettlewright.views.templating import template

__all__ = ["answer_page", "home_page", "problem_page"]


class SectionOfReply(Protocol):
    """What a page shows of a part of a reply: `kettlewright.api.door.outline.Section`."""

    @property
    def title(self) -> str:
        """Its name, in words. [text]"""

    @property
    def header(self) -> tuple[str, ...]:
        """Columns of a list; empty where each row is name, meaning, value, unit. [text]"""

    @property
    def rows(self) -> tuple[tuple[Any, ...], ...]:
        """The values. [as in JSON]"""


@in_language_of_response
def answer_page(reply: Mapping[str, Any], *, title: str, sections: Iterable[SectionOfReply],
                picture: str | None = None) -> str:
    """An answer as a page: cautions, what to weigh, the picture, all figures.

    Parameters
    ----------
    reply : mapping
        JSON reply of the operation. [as in JSON]
    title : str
        What the operation answers. [text]
    sections : iterable of SectionOfReply
        All figures and lists, under the names of the contract. [sections]
    picture : str, optional
        Of the reply. [SVG]

    Returns
    -------
    str : HTML without scripts or external resources
    """
    placed = cautions_by_place(reply)
    weighed = reply if "weigh_list" in reply else reply.get("lye", {"weigh_list": []})
    return str(template("answer_page.html.j2").render(
        reply=reply, title=title, sections=sections, style=Markup(style_of("page.css")),
        picture=None if picture is None else Markup(picture.partition("?>")[2] or picture),
        cautions=[caution for place in placed.values() for caution in place],
        weigh_list=weighed["weigh_list"]))


def problem_page(problem: Mapping[str, Any]) -> str:
    """A problem as a page, in the words of the JSON.

    Parameters
    ----------
    problem : mapping
        As in RFC 9457, with `errors`. [as in JSON]

    Returns
    -------
    str : HTML without scripts or external resources
    """
    return str(template("problem_page.html.j2").render(problem=problem, style=Markup(style_of("page.css"))))


def home_page(base: str, version: str, data_version: str, examples: Iterable[tuple[str, str]]) -> str:
    """What is at the service's own address.

    Parameters
    ----------
    base : str
        What goes before every path, if the service is not at the root of its host. [path]
    version, data_version : str
        Of service and tables. [text]
    examples : iterable of (str, str)
        Calculations by address: what each answers, and its path. [text]

    Returns
    -------
    str : HTML without scripts or external resources
    """
    return str(template("home_page.html.j2").render(base=base, version=version, data_version=data_version,
                                                    examples=examples, style=Markup(style_of("page.css"))))
