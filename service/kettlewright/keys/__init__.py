"""Keys of members: a file of hashes, what each key may do, and how much of a month it has used.

A service without a key file takes every request. See docker/README.md, "Keys".
"""

from __future__ import annotations

from kettlewright.keys.key import KEY_TEXT, MEMBER, OPERATOR, READ_ONLY, ROLES, Key, KeyRing, new_key
from kettlewright.keys.key_file import BadKeyFile, read_key_file, write_key_file
from kettlewright.keys.quotas import Quotas, seconds_to_next_month
from kettlewright.keys.reload import keys_of, read_again

__all__ = ["KEY_TEXT", "MEMBER", "OPERATOR", "READ_ONLY", "ROLES", "BadKeyFile", "Key", "KeyRing", "Quotas",
           "keys_of", "new_key", "read_again", "read_key_file", "seconds_to_next_month", "write_key_file"]
