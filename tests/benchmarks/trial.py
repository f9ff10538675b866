"""The requests that are measured, and one reply read whole."""

from __future__ import annotations

import json
import socket
from dataclasses import dataclass

from load import Case, exchange
from servers import HERE

__all__ = ["DEMO", "LYE", "Reply", "addresses", "bodies", "reply_to"]

DEMO = HERE.parents[1] / "client" / "examples" / "kiln_dusk.json"
LYE = {"fats": [{"fat": "olive", "mass": 500}, {"fat": "coconut", "mass": 300}, {"fat": "shea", "mass": 200}],
       "superfat_pct": 5, "alkalis": [{"alkali": "NaOH", "purity_pct": 98}],
       "water": {"lye_concentration_pct": 33}, "temperatures": {"water": 20, "fats": 38}}
_LYE_BY_ADDRESS = ("/v1/lye?fat=olive,mass:500&fat=coconut,mass:300&fat=shea,mass:200&superfat_pct=5"
                   "&alkali=NaOH,purity:98&water=lye_concentration:33")


@dataclass(frozen=True, slots=True)
class Reply:
    """A reply.

    Parameters
    ----------
    status : int
        Its status. [code]
    head : bytes
        Its headers in lower case. [HTTP]
    body : bytes
        Its body. [bytes]
    """

    status: int
    head: bytes
    body: bytes

    def header(self, name: str) -> str:
        """The value of a header, in lower case (`name`)."""
        return self.head.partition(f"\r\n{name}: ".encode())[2].partition(b"\r\n")[0].decode()


def bodies() -> dict[str, bytes]:
    """The bodies of the POST requests, by operation. [JSON]"""
    return {"lye": json.dumps(LYE).encode(),
            "batches": json.dumps(json.loads(DEMO.read_text(encoding="utf-8"))).encode()}


def addresses(port: int) -> dict[str, str]:
    """Addresses of a lye and of the whole batch (`port`: of a service)."""
    reply = reply_to(port, Case("", "POST", "/v1/batches", body=bodies()["batches"]))
    return {"lye": _LYE_BY_ADDRESS, "batch": json.loads(reply.body)["links"]["self"]}


def reply_to(port: int, case: Case) -> Reply:
    """One reply (`port`: of the server, `case`)."""
    with socket.create_connection(("127.0.0.1", port), timeout=60) as connection:
        reply = Reply(*exchange(connection, case.wire()))
    if reply.status != case.status:
        raise SystemExit(f"{case.method} {case.path[:80]} answered {reply.status}: {reply.body[:300]!r}")
    return reply
