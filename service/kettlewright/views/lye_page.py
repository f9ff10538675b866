"""What to weigh for a recipe, as a page that needs no JavaScript: cautions first, then the weigh list."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from kettlewright.languages import in_language_of_response
from kettlewright.views.bench import cautions_by_place, rows_in
from kettlewright.views.styles import style_of
from kettlewright.views.templating import template

__all__ = ["lye_page"]


@in_language_of_response
def lye_page(reply: Mapping[str, Any]) -> str:
    """The page of a recipe.

    Parameters
    ----------
    reply : mapping
        JSON reply of /v1/lye. [as in JSON]

    Returns
    -------
    str : HTML without scripts or external resources
    """
    return str(template("lye_page.html.j2").render(
        reply=reply, jug=rows_in(reply, "jug"), pot=rows_in(reply, "pot"), cautions=cautions_by_place(reply),
        style=Markup(style_of("batch_sheet.css"))))
