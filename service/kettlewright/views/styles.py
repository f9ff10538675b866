"""Styles of pages, and the policy that lets a browser use them."""

from __future__ import annotations

import base64
import hashlib
from functools import cache
from importlib import resources

__all__ = ["page_policy", "policy_of", "sheet_policy", "style_of"]


@cache
def style_of(name: str) -> str:
    """The style of a page (`name`: of its file in templates/). [CSS]"""
    return resources.files("kettlewright.views").joinpath("templates", name).read_text(encoding="utf-8")


@cache
def policy_of(*names: str) -> str:
    """The Content-Security-Policy of pages: only their own styles, by hash (`names`: of the styles). [header]"""
    digests = [base64.b64encode(hashlib.sha256(style_of(name).encode()).digest()).decode() for name in names]
    styles = " ".join(f"'sha256-{digest}'" for digest in digests)
    return f"default-src 'none'; style-src {styles}; frame-ancestors 'none'"


def sheet_policy() -> str:
    """The policy of sheets, cards, records and the lye page. [header]"""
    return policy_of("batch_sheet.css", "batch_card.css")


def page_policy() -> str:
    """The policy of answers, problems and the first page. [header]"""
    return policy_of("page.css")
