"""What the contract says of the service as a whole: the rules that hold for every operation."""

from __future__ import annotations

__all__ = ["DESCRIPTION"]

_TEXT = r"""
Formulation maths for a small cold-process soap workshop. Stateless: nothing is stored, and the same body gives the
same bytes, so every POST is safe to repeat. `units` governs every quantity of a request and of its reply; percentages
end in `_pct`. Every 4xx and 5xx is a problem of RFC 9457 that lists all errors, up to 50. Results are estimates for a
trained person: lye burns, cautions stand in every reply, and local law and the certificates of your suppliers decide.

**Calculations by an address.** What can send nothing but a link (a cell of a spreadsheet, a bookmark) asks the same
calculation by GET; the reply is the POST's, byte for byte. One grammar holds for all keys. A list of the body is a
key that is repeated, an object is a value with parts: `fat=olive,mass:700&fat=coconut,mass:300`,
`alkali=NaOH,purity:98`, `water=lye_concentration:33`, `mould=box,length:380,width:260,depth:60`. Commas part the
parts, a colon parts name and value. The first word says what is meant where something must be named; every other part
bears its name, since two numbers that are swapped would be lye-heavy in silence, so `NaOH:98:70` is refused. A part
is named as in the body, and the ending `_pct` may be left off. `sv:180-185` is a saponification range; then the first
word is your own name for the fat. `units=oz,in` names units, each of which tells what it measures (`dose:oz` for
doses). Numbers are those of JSON: a point for decimals, the digits 0 to 9, nothing between thousands. A comma, colon
or backslash inside a part is written with a backslash before it; a value without parts is taken as it is. Unknown and
doubled keys and parts are refused.

A part left out is left out of the body. What has no key here (`own_fats`, certificates, a composition of a fragrance)
takes the POST. In a problem of such a request `pointer` begins with the key: `/fat/1/mass` is the part mass of the
second `fat`, `/superfat_pct` the value of that key, `/plan/recipe/fats/0/mass` a place inside a plan. Pointers of
cautions lead into the body, as they do in the POST's reply.

**Such an address holds a recipe**, and whoever has it can read it. The service logs no query and sends
`Referrer-Policy: no-referrer`; what browsers, proxies and spreadsheets keep is theirs. Its replies say `private,
no-cache`: no shared cache keeps them, and a browser asks again with the ETag (304 where nothing changed), so that a
corrected figure is never outlived by a wrong one. Replies of the tables are public. Above 2,048 characters an address
is refused (414).

**A batch in one address.** `plan` is `1`, the version, then base64url (RFC 4648) without padding of zlib (RFC 1950)
of the JSON body in UTF-8. `links.self` of a reply is that address, unless it would be longer than 2,048 characters;
then `links.note` says so.

**Forms.** `format` overrides Accept, for GET and POST alike. `field` gives one figure as bare text, without a line
break: a number with a point and no exponent, a text, `true` or `false`; null is refused, since an empty cell would
count as 0. Its path is the JSON Pointer (RFC 6901) of the figure with dots in place of slashes, `alkalis.0.weigh` for
`/alkalis/0/weigh`; in a list an item may also be named by its `key` or `name`, `alkalis.NaOH.weigh`, while digits
always count, from 0. `format=csv` gives the main table of a reply, `table` another of its lists; the table `figures`
holds every single figure with its path and unit. CSV is that of RFC 4180 in UTF-8: a header with units, commas,
points, CR LF. A text that begins as a formula does (= + - @, tab, CR) gets an apostrophe before it, unless it is a
number.

**Pages of other origins** read replies where the operator allows them to (CORS), problems included; ETag, Retry-After
and X-Request-ID are exposed, cookies are not used. OPTIONS is never refused at an address that exists.
"""

DESCRIPTION = "\n\n".join(" ".join(paragraph.split()) for paragraph in _TEXT.strip().split("\n\n"))
"""Paragraphs in Markdown. [text]"""
