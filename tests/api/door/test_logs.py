"""The lines of the log."""

from __future__ import annotations

import json
import logging

import pytest
from kettlewright.api.door.logs import JsonLines


@pytest.mark.parametrize("words", ["key of Zoë read", "half a character: \ud83d", "a line\u2028and its end"])
def test_a_line_is_ascii_whatever_is_in_it(words: str) -> None:
    record = logging.makeLogRecord({"name": "kettlewright", "levelname": "INFO", "msg": "%s", "args": (words,),
                                    "key_name": "Zoë"})
    line = JsonLines().format(record)
    assert line.isascii()
    assert json.loads(line)["key_name"] == "Zoë"
    assert json.loads(line)["message"] == words.encode("utf-8", "backslashreplace").decode()
