"""The introduction of the contract: one call to run, the rules of every operation, calculations by address."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["DESCRIPTION", "FIRST_CALL", "GROUPS", "SECURITY"]

GROUPS: Mapping[str, str] = MappingProxyType({
    "recipe": "What goes into the pot: fats, alkali, water, and the size of a recipe",
    "pour": "From the pot to the cut bar: moulds, portions, colours, cuts, one whole batch",
    "release": "From the cut bar to the sale: cure, calendar, labels, costs, purchases",
    "data": "Tables: fats, cautions, sources",
    "service": "The service itself"})
"""Groups of operations, by the job, in the order of the document. [text]"""

SECURITY: Mapping[str, Mapping[str, str]] = MappingProxyType({
    "key": {"type": "http", "scheme": "bearer", "description": "A key from the operator, if the service needs one"},
    "read_only_key": {"type": "apiKey", "in": "query", "name": "key", "description": "A read-only key, for GET only"}})
"""How a key is sent. [as in JSON]"""

FIRST_CALL = (
    "curl -s http://127.0.0.1:8000/v1/lye -H 'Content-Type: application/json' -d '"
    '{"fats": [{"fat": "olive", "mass": 700}, {"fat": "coconut", "mass": 300}], "superfat_pct": 5, '
    '"alkalis": [{"alkali": "NaOH"}], "water": {"lye_concentration_pct": 33}}'
    "'")
"""A call that runs as it is. [text]"""

_TEXT = r"""
Your first call: how much sodium hydroxide and water to weigh for 1 kg of fats.

FIRST_CALL

Formulation maths for a small cold-process soap workshop. The figures are estimates for a trained person. Lye burns:
read the cautions in every response. Local law and your suppliers' certificates decide.

# Rules for every operation

The service is stateless. It stores nothing, and the same body gives the same bytes, so you can repeat any POST safely.

`units` sets the units of the request and of the response. Percentages end in `_pct`.

Every 4xx and 5xx response is a problem as in RFC 9457. It lists all errors, up to 50, each with its location, a `code`
and what to do.

**Forms.** `format` overrides Accept, in GET and POST alike. `field` returns one figure as bare text without a line
break: a number with a decimal point and no exponent, text, `true` or `false`. A null is rejected, because an empty
cell would count as 0. The path is the JSON Pointer (RFC 6901) of the figure with dots for slashes, such as
`alkalis.0.weigh` for `/alkalis/0/weigh`. You can name a list item by its `key` or `name` too, as in
`alkalis.NaOH.weigh`; digits always count items from 0. `field=problem` returns what is wrong with the request, as
text with status 200 because a cell does not show the body of an error, and `none` if it is valid. `format=csv`
returns the main table of the response, `table` another of its lists, and `table=figures` every single figure with its
path and unit. CSV follows RFC 4180, in UTF-8: a header with units, commas, decimal points, CR LF. Text that begins
like a formula (= + - @, tab, CR) gets an apostrophe in front, unless it is a number.

**Caching.** Tables may be cached by anyone. Calculations by address are `private, no-cache`: shared caches do not keep
them, and a browser asks again with the ETag (304 if nothing changed), so that a corrected figure replaces the old one.

**Keys.** A service may need a key: `Authorization: Bearer KEY`. A cell or a link takes a read-only key, as `key` in the
address, which only GET accepts; never put another key into an address. With keys, every operation but `/healthz`,
`/readyz` and `/version` may also answer with these problems, which are not repeated at each: 401 `key-needed` (no valid
key), 403 `key-refused` (the key does not allow this) and 429 `quota-used` (its monthly quota is used up; see
Retry-After). They are in German if Accept-Language prefers it. A service without keys ignores keys.

**Pages of other origins** can read responses if the operator allows it (CORS), problems included. ETag, Retry-After and
X-Request-ID are exposed; cookies are not used. OPTIONS works at every address that exists.

# Calculations by address

A spreadsheet cell or a bookmark can send only an address. Most calculations therefore also work as GET, with the same
response as the POST, byte for byte.

Each key of the address is a field of the body. Repeat a key for a list. Write an object as parts with commas between
them: `fat=olive,mass:700&fat=coconut,mass:300`, `alkali=NaOH,purity:98`, `water=lye_concentration:33`,
`mould=box,length:380,width:260,depth:60`. A colon separates name and value. The first part may have no name; every
other part needs one, because two swapped numbers would make the batch lye-heavy without a warning. `NaOH:98:70` is
rejected. Names are those of the body, and you may leave out the ending `_pct`. `sv:180-185` is a saponification range;
the first part is then your own name for the fat. `units=oz,in` sets units; write `dose:oz` for the unit of doses.
Write numbers as in JSON: a decimal point, the digits 0 to 9, no separator for thousands. Put a backslash before a
comma, colon or backslash inside a part. Unknown or repeated keys and parts are rejected.

A part that you leave out is not in the body. If a field has no key here (`own_fats`, certificates, the composition of a
fragrance), use the POST. In a problem, `pointer` begins with the key: `/fat/1/mass` is the part mass of the second
`fat`, `/superfat_pct` the value of that key, `/plan/recipe/fats/0/mass` a location inside a plan. Pointers of cautions
refer to the body, as in the response to the POST.

**The address contains the recipe**, and anyone who has it can read it. The service does not log queries and sends
`Referrer-Policy: no-referrer`, but browsers, proxies and spreadsheets may keep addresses. An address above 2,048
characters is rejected (414).

**A whole batch in one address.** `GET /v1/batches` takes the same keys: `fat`, `alkali`, `mould`, `portion`, `bar`,
and so on. `plan` replaces them all, label and prices included. It is the version `1`, then the JSON body in UTF-8,
compressed with zlib (RFC 1950) and written as base64url (RFC 4648) without padding. `links.self` of a response is
that address. If it would be longer than 2,048 characters, `links.message` says so.
"""


DESCRIPTION = "\n\n".join(
    f"```sh\n{FIRST_CALL}\n```" if paragraph == "FIRST_CALL" else " ".join(paragraph.split())
    for paragraph in _TEXT.strip().split("\n\n"))
"""Paragraphs in Markdown. [text]"""
