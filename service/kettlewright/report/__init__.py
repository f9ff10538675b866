"""A report on how the service was used, made from its access log, for the operator and for a member."""

from kettlewright.report.lines import LoggedRequest, Tally, entries
from kettlewright.report.outline import Outline, outline_of
from kettlewright.report.pages import as_html, as_text
from kettlewright.report.percentiles import Percentiles
from kettlewright.report.usage import Usage, usage_of

__all__ = ["LoggedRequest", "Outline", "Percentiles", "Tally", "Usage", "as_html", "as_text", "entries", "outline_of",
           "usage_of"]
