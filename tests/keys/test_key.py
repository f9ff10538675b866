"""Keys: random, found by their whole text only, valid through their last day."""

from __future__ import annotations

import hashlib
import hmac
import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from kettlewright.keys import ROLES, Key, KeyRing, new_key
from kettlewright.keys import key as module

MADE = date(2027, 1, 1)


def test_a_key_has_256_random_bits_and_only_its_hash_is_kept() -> None:
    made = [new_key("anna", made=MADE) for _ in range(50)]
    texts = [text for text, _ in made]
    assert len(set(texts)) == 50
    for text, key in made:
        # base64url (RFC 4648, section 5): 43 characters hold 258 bits, so 32 bytes
        assert re.fullmatch(rf"kw_{key.key_id}_[A-Za-z0-9_-]{{43}}", text)
        assert key.sha256 == hashlib.sha256(text.encode()).hexdigest()
        secret = text.split("_", 2)[2]
        assert secret not in repr(key)
        assert text not in repr(KeyRing([key]))


def test_the_hash_is_the_published_one() -> None:
    # FIPS 180-4, SHA-256 of "abc" (NIST, examples with intermediate values)
    assert module.hash_of("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_a_key_is_found_by_its_whole_text_and_by_nothing_else() -> None:
    pairs = [new_key(name, role, made=MADE) for name in ("anna", "ben") for role in ROLES]
    ring = KeyRing(key for _, key in pairs)
    assert len(ring) == 6
    for text, key in pairs:
        assert ring.find(text) == key
        for wrong in (text[:-1], text + "A", text[1:], text.upper(), f" {text}", text + "\n", key.key_id, key.sha256,
                      text[:-1] + ("A" if text[-1] != "A" else "B"), text.replace(key.key_id, "00000000"), "", "kw_",
                      "ä"):
            assert ring.find(wrong) is None, wrong
    # the secret of one key with the id of another
    (first, _), (_, other) = pairs[:2]
    assert ring.find(f"kw_{other.key_id}_{first.split('_', 2)[2]}") is None
    assert KeyRing([]).find(first) is None


def test_hashes_are_compared_in_constant_time_with_or_without_an_entry(monkeypatch: pytest.MonkeyPatch) -> None:
    compared: list[tuple[str, str]] = []

    in_constant_time = hmac.compare_digest

    def compare(one: str, other: str) -> bool:
        compared.append((one, other))
        return in_constant_time(one, other)

    monkeypatch.setattr(module.hmac, "compare_digest", compare)
    text, key = new_key("anna", made=MADE)
    ring = KeyRing([key])
    ring.find(text)
    ring.find(text.replace(key.key_id, "00000000"))
    ring.find("nothing like a key")
    assert len(compared) == 3
    assert {len(one) for pair in compared for one in pair} == {64}


@pytest.mark.parametrize(("now", "expired"), [
    (datetime(2027, 1, 31, 23, 59, 59, 999_999, tzinfo=UTC), False), (datetime(2027, 2, 1, tzinfo=UTC), True),
    (datetime(2026, 1, 1, tzinfo=UTC), False), (datetime(2028, 1, 1, tzinfo=UTC), True),
    # the same moments on other clocks: the day is that of UTC
    (datetime(2027, 2, 1, 0, 59, 59, tzinfo=timezone(timedelta(hours=1))), False),
    (datetime(2027, 1, 31, 19, 0, tzinfo=timezone(timedelta(hours=-5))), True)])
def test_a_key_works_through_its_last_day(now: datetime, expired: bool) -> None:
    _, key = new_key("anna", made=MADE, expires=date(2027, 1, 31))
    assert key.has_expired(now) is expired
    assert replace(key, expires=None).has_expired(now) is False


def test_entries_are_frozen() -> None:
    _, key = new_key("anna", made=MADE)
    with pytest.raises(AttributeError):
        key.role = "operator"
    assert Key.__slots__
