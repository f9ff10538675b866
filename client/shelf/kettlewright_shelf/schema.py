"""The tables of a shelf, and the steps from each version of them to the next. All masses are in g.

A shelf knows its version (`PRAGMA user_version`); opening an older one takes the missing steps, each in one
transaction. Steps that have been released never change.
"""

from __future__ import annotations

__all__ = ["STEPS", "TABLES", "VERSION"]

_PLANS_AND_LOTS = """
CREATE TABLE plans (
    identity TEXT PRIMARY KEY,
    title TEXT,
    body TEXT NOT NULL,
    reply TEXT NOT NULL,
    added_on TEXT NOT NULL
) STRICT;
CREATE TABLE batches (
    number TEXT PRIMARY KEY,
    identity TEXT NOT NULL REFERENCES plans (identity),
    made_on TEXT NOT NULL,
    bars_count INTEGER
) STRICT;
CREATE TABLE lots (
    key TEXT NOT NULL,
    lot TEXT NOT NULL,
    mass_g REAL NOT NULL CHECK (mass_g > 0),
    received_on TEXT NOT NULL,
    best_before TEXT,
    supplier TEXT,
    certificate TEXT,
    used_up_on TEXT,
    PRIMARY KEY (key, lot)
) STRICT;
CREATE TABLE weighings (
    number TEXT NOT NULL REFERENCES batches (number),
    kind TEXT NOT NULL,
    place TEXT NOT NULL,
    portion TEXT NOT NULL,
    key TEXT NOT NULL,
    planned_lot TEXT NOT NULL,
    lot TEXT NOT NULL,
    mass_g REAL NOT NULL CHECK (mass_g >= 0),
    weighed_on TEXT NOT NULL,
    weighed_by TEXT,
    PRIMARY KEY (number, kind, place, portion, key, planned_lot, lot)
) STRICT;
CREATE INDEX weighings_by_lot ON weighings (lot);
"""
_RECORDS = """
CREATE TABLE records (
    number TEXT NOT NULL REFERENCES batches (number),
    stage TEXT NOT NULL,
    recorded_on TEXT NOT NULL,
    reply TEXT NOT NULL,
    PRIMARY KEY (number, stage)
) STRICT;
"""
_WORDS = """
ALTER TABLE batches ADD COLUMN words TEXT;
"""

STEPS = (_PLANS_AND_LOTS, _RECORDS, _WORDS)
"""What makes each version of the one before; the first makes version 1. [SQL]"""
VERSION = len(STEPS)
"""Of the tables. [number]"""
TABLES = ("plans", "batches", "lots", "weighings", "records")
"""In an order in which rows may be written. [names]"""
