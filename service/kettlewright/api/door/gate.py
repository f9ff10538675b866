"""Who may send a request: keys in the Authorization header, read-only keys in the address, quotas.

A service without a key file takes every request, but /metrics never without an operator's key.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from functools import partial
from urllib.parse import unquote_to_bytes

from werkzeug import Request

from kettlewright.api.door.access_record import AccessRecord
from kettlewright.api.door.problems import KEY_REFUSED, Problem
from kettlewright.keys import OPERATOR, READ_ONLY, Key, KeyRing, Quotas, seconds_to_next_month
from kettlewright.languages import LOCALES
from kettlewright.said import Said

__all__ = ["OPERATOR_PATHS", "PARAMETER", "Gate", "needs_no_key", "utc_now", "without_key"]

PARAMETER = "key"
"""Of an address: a read-only key. [name]"""
OPERATOR_PATHS = frozenset({"/metrics"})
"""Paths that only an operator's key opens, on every service. [paths]"""

_OPEN_PATHS = frozenset({"/", "/docs", "/healthz", "/openapi.json", "/openapi.yaml", "/readyz", "/version"})
_OPEN_BELOW = ("/docs/", "/problems/")
_READING = ("GET", "HEAD")


def utc_now() -> datetime:
    """The time now. [time with its zone]"""
    return datetime.now(UTC)


def needs_no_key(path: str) -> bool:
    """Whether a path is open to all: probes, the contract and its pages, which hold nothing of a member (`path`)."""
    return path in _OPEN_PATHS or path.startswith(_OPEN_BELOW)


def without_key(query: bytes) -> bytes:
    """The query of an address without its key (`query`). [percent-encoded]"""
    return b"&".join(part for part in query.split(b"&") if not _is_key(part))


def _is_key(part: bytes) -> bool:
    return unquote_to_bytes(part.partition(b"=")[0]) == PARAMETER.encode()


class Gate:
    """Checks the key of each request and counts its quota.

    Parameters
    ----------
    ring : callable, optional
        All keys as they are now; None for a service that needs none. [function]
    clock : callable
        The time now. [function]
    """

    def __init__(self, ring: Callable[[], KeyRing] | None, clock: Callable[[], datetime]) -> None:
        self._ring = ring
        self._clock = clock
        self._quotas = Quotas(clock)

    def check(self, request: Request, record: AccessRecord) -> None:
        """Refuse a request without a valid key, and note in its record whose key it has (`request`, `record`).

        Raises
        ------
        Problem : 400 for two keys; 401 for none, an unknown or an expired one; 403 for one that does not allow this;
            429 where its quota is used up.
        """
        of_operators = request.path in OPERATOR_PATHS
        if not of_operators and (self._ring is None or needs_no_key(request.path)):
            return
        language = request.accept_languages.best_match(LOCALES) or LOCALES[0]
        with _in_language(language):
            key = self._key(request, of_operators)
            record.key_name = key.name
            if key.has_expired(self._clock()):
                raise _Refused(401, Said("This key was valid until {day}. Ask the operator of the service for another "
                                         "one.", day=str(key.expires)), invalid=True)
            _check_role(key, request, of_operators)

        def take() -> None:
            with _in_language(language):
                self._take_quota(key)

        take()
        record.take, record.charge = take, partial(self._quotas.charge, key)

    def _key(self, request: Request, of_operators: bool) -> Key:
        given = (*_in_header(request), *_in_address(request))
        if len(given) > 1:
            raise Problem(400, "The request has more than one key; send one.")
        if not given:
            raise _Refused(401, Said("This address needs an operator's key, in the header Authorization: Bearer.")
                           if of_operators else
                           Said("This service needs a key. Send it in the header Authorization: Bearer, or a read-only "
                                "key in the address as key=. The operator of the service makes keys."))
        key = self._ring().find(given[0]) if self._ring is not None else None
        if key is None:
            raise _Refused(401, Said("This key is not valid: it is mistyped, incomplete or revoked. Ask the operator "
                                     "of the service for another one."), invalid=True)
        return key

    def _take_quota(self, key: Key) -> None:
        used_up = self._quotas.take(key)
        if used_up is None:
            return
        now = self._clock()
        wait_s = seconds_to_next_month(now)
        day = str((now + timedelta(seconds=wait_s)).astimezone(UTC).date())
        if used_up == "requests":
            said = Said("This month's {count:,} requests for this key are used up. The key works again from {day} "
                        "(UTC). The operator of the service can raise the limit.",
                        count=key.requests_per_month or 0, day=day)
        else:
            said = Said("This month's {count:,} seconds of computing time for this key are used up. The key works "
                        "again from {day} (UTC). The operator of the service can raise the limit.",
                        count=key.cpu_seconds_per_month or 0, day=day)
        raise _Refused(429, said, wait_s=wait_s)


def _check_role(key: Key, request: Request, of_operators: bool) -> None:
    if _in_address(request) and key.role != READ_ONLY:
        raise _Refused(403, Said("Only a read-only key may be in an address, because addresses are kept and passed on. "
                                 "Others may have seen this key: have it revoked, and send the new one in the header "
                                 "Authorization: Bearer."))
    if key.role == READ_ONLY and request.method not in _READING:
        raise _Refused(403, Said("This is a read-only key, which works for GET only. For a POST, send another key in "
                                 "the header Authorization: Bearer."))
    if of_operators and key.role != OPERATOR:
        raise _Refused(403, Said("This address is for operators only. Use an operator's key."))


class _Refused(Exception):
    """A request is refused; it becomes a problem in the language of the reader."""

    def __init__(self, status: int, detail: Said, *, invalid: bool = False, wait_s: int | None = None) -> None:
        super().__init__(detail)
        self.status, self.detail, self.invalid, self.wait_s = status, detail, invalid, wait_s

    def problem(self, language: str) -> Problem:
        headers = {"Content-Language": language}
        if self.status == 401:
            # RFC 6750, 3: a request without a key gets no error code
            headers["WWW-Authenticate"] = 'Bearer realm="kettlewright"' + (
                ', error="invalid_token"' if self.invalid else "")
        if self.wait_s is not None:
            headers["Retry-After"] = str(self.wait_s)
        return Problem(self.status, self.detail, headers=headers, language=language,
                       kind=KEY_REFUSED if self.status == 403 else None)


@contextmanager
def _in_language(language: str) -> Iterator[None]:
    """Turn a refusal into a problem in a language (`language`: its key)."""
    try:
        yield
    except _Refused as refused:
        raise refused.problem(language) from None


def _in_header(request: Request) -> list[str]:
    """The key of the header; an empty one counts, since somebody meant to send one."""
    scheme, _, credentials = request.headers.get("Authorization", "").partition(" ")
    return [credentials.strip()] if scheme.lower() == "bearer" else []  # another scheme may be for a proxy


def _in_address(request: Request) -> list[str]:
    return [unquote_to_bytes(part.partition(b"=")[2]).decode("utf-8", "replace")
            for part in request.query_string.split(b"&") if _is_key(part)]
