"""Sheets, pictures and calendars, made from the JSON reply so that they always match it."""

from kettlewright.views.answer_page import answer_page, home_page, problem_page
from kettlewright.views.calendar import batch_calendar, cure_calendar, schedule_calendar
from kettlewright.views.cure_curve import cure_curve
from kettlewright.views.cutting_plan import cut_plan
from kettlewright.views.file_names import file_name
from kettlewright.views.lye_page import lye_page
from kettlewright.views.picture import cut_face, mould_section, portions_section
from kettlewright.views.record import batch_record
from kettlewright.views.sheet import batch_card, batch_sheet
from kettlewright.views.strip import fade_strip
from kettlewright.views.styles import page_policy, sheet_policy
from kettlewright.views.templating import compile_templates, compiled_templates, use_compiled

__all__ = ["answer_page", "batch_calendar", "batch_card", "batch_record", "batch_sheet", "compile_templates",
           "compiled_templates", "cure_calendar", "cure_curve", "cut_face", "cut_plan", "fade_strip", "file_name",
           "home_page", "lye_page", "mould_section", "page_policy", "portions_section", "problem_page",
           "schedule_calendar", "sheet_policy", "use_compiled"]
