"""The file of a shelf: opening, versions, and transactions that are whole or not there at all."""

from __future__ import annotations

import contextlib
import json
import os
import socket
import sqlite3
import sys
import time
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from kettlewright_shelf.errors import Locked, ShelfError
from kettlewright_shelf.schema import STEPS, VERSION

__all__ = ["ShelfFile"]

_PAUSE = 0.05


class ShelfFile:
    """One SQLite file with write-ahead log: readers never wait, writers wait for each other.

    Parameters
    ----------
    path : str or Path
        Of the file; it is made if it is not there. [path]
    wait : float
        How long to wait for another writer. [s]

    Raises
    ------
    ShelfError : the file is no shelf, or of a newer version, or cannot be opened.
    """

    def __init__(self, path: str | Path, *, wait: float = 10.0) -> None:
        self.path, self._wait = Path(path), wait
        self._holder = self.path.with_name(self.path.name + "-writer")
        try:
            self._db = sqlite3.connect(self.path, timeout=0, isolation_level=None)
            self._db.row_factory = sqlite3.Row
            self._retry(lambda: self._db.execute("PRAGMA journal_mode = WAL"))
            self._db.execute("PRAGMA synchronous = FULL")  # what was said to be written survives a power cut
            self._db.execute("PRAGMA foreign_keys = ON")
            self._bring_up_to_date()
        except sqlite3.Error as error:
            raise self._in_words(error) from error

    def close(self) -> None:
        """Close the file."""
        self._db.close()

    def rows(self, query: str, values: tuple[Any, ...] = ()) -> list[sqlite3.Row]:
        """What a query finds (`query`: SQL, `values`: its parameters). [rows]"""
        try:
            return self._db.execute(query, values).fetchall()
        except sqlite3.Error as error:
            raise self._in_words(error) from error

    @contextlib.contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """A transaction: all of it is written, or nothing.

        Raises
        ------
        Locked : another process writes; the message names it.
        ShelfError : the disk is full, or the file cannot be written.
        """
        try:
            self._retry(lambda: self._db.execute("BEGIN IMMEDIATE"))
            try:
                self._say_who()
                yield self._db
                self._db.execute("COMMIT")
            except BaseException:
                if self._db.in_transaction:
                    self._db.execute("ROLLBACK")
                raise
            finally:
                with contextlib.suppress(OSError):
                    self._holder.unlink(missing_ok=True)
        except sqlite3.Error as error:
            raise self._in_words(error) from error

    def _bring_up_to_date(self) -> None:
        version = self._db.execute("PRAGMA user_version").fetchone()[0]
        if version > VERSION:
            raise ShelfError(f"{self.path} is of version {version}; this program knows up to {VERSION}. Install a "
                             "newer kettlewright-shelf.")
        if version == VERSION:
            return
        with self.writing() as db:
            # another process may have been here first
            for step in STEPS[db.execute("PRAGMA user_version").fetchone()[0]:]:
                for statement in step.split(";"):
                    if statement.strip():
                        db.execute(statement)
            db.execute(f"PRAGMA user_version = {VERSION}")

    def _retry(self, do: Any) -> None:
        until = time.monotonic() + self._wait
        while True:
            try:
                do()
            except sqlite3.OperationalError as error:
                if error.sqlite_errorcode & 0xFF not in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
                    raise
                if time.monotonic() >= until:
                    raise Locked(f"{self.path} is being written by {self._who()}; waited {self._wait:g} s. Try again "
                                 "when it has finished.") from error
                time.sleep(_PAUSE)
            else:
                return

    def _say_who(self) -> None:
        """Leave a note for whoever waits. It is only a courtesy: the lock itself is SQLite's."""
        with contextlib.suppress(OSError):
            self._holder.write_text(json.dumps({
                "pid": os.getpid(), "host": socket.gethostname(), "command": " ".join(sys.argv)[:200],
                "since": datetime.now().isoformat(timespec="seconds")}), encoding="utf-8")

    def _who(self) -> str:
        try:
            note = json.loads(self._holder.read_text(encoding="utf-8"))
            return f"process {note['pid']} on {note['host']} ({note['command']}) since {note['since']}"
        except (OSError, ValueError, KeyError, TypeError):
            return "another process"

    def _in_words(self, error: sqlite3.Error) -> ShelfError:
        code = getattr(error, "sqlite_errorcode", 0) & 0xFF
        if code == sqlite3.SQLITE_FULL or (code == sqlite3.SQLITE_IOERR and "full" in str(error)):
            return ShelfError(f"The disk of {self.path} is full. Nothing was changed; make room and try again.")
        if code == sqlite3.SQLITE_NOTADB:
            return ShelfError(f"{self.path} is not a shelf.")
        if code == sqlite3.SQLITE_CANTOPEN:
            return ShelfError(f"{self.path} cannot be opened: does its folder exist, and may you write there?")
        if code == sqlite3.SQLITE_READONLY:
            return ShelfError(f"{self.path} may only be read.")
        return ShelfError(f"{self.path}: {error}. Nothing was changed.")
