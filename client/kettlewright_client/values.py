"""Types of single values, in requests and replies."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import SupportsFloat, SupportsIndex, TypeAlias

from kettlewright_client.html import figure

__all__ = ["Day", "Number", "Text", "Timeout", "Whole"]

Number: TypeAlias = float | Decimal | SupportsFloat
"""A number of a request: a float, an int, a Decimal, or a number of numpy."""
Whole: TypeAlias = int | SupportsIndex
"""A whole number of a request."""
Day: TypeAlias = str | date
"""A date of a request: a date, or text such as 2027-03-20."""
Timeout: TypeAlias = float | tuple[float, float]
"""Seconds to connect and seconds to wait between two parts of a reply; one number is for both. [s]"""


class Text(str):
    """A reply in another form than JSON. It is a str that also knows its form and its request.

    Parameters
    ----------
    text : str
        The reply. [text]
    form : str
        As in `format`: html, svg, ics, csv ... [word]
    request_id : str
        With this an operator finds the request in the log. [text]
    """

    form: str
    request_id: str

    def __new__(cls, text: str, form: str = "text", request_id: str = "") -> Text:
        made = super().__new__(cls, text)
        made.form = form
        made.request_id = request_id
        return made

    def _repr_html_(self) -> str | None:
        return figure(self) if self.form == "svg" else None
