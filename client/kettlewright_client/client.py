"""The client: one method for each operation, with keyword arguments named as in the contract."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from types import TracebackType
from typing import Any, TypeVar, cast
from urllib.parse import quote

import requests

from kettlewright_client.errors import ClientError
from kettlewright_client.forms import read_reply
from kettlewright_client.given import MOST_RETRIES, address_shown, json_bytes, seconds, whole_number
from kettlewright_client.many import plan_all
from kettlewright_client.operations import MEDIA_TYPES, OPERATIONS
from kettlewright_client.results import (
    Actuals,
    Batch,
    Blend,
    Costs,
    Cure,
    Cuts,
    Fade,
    FatEntry,
    Fats,
    Labels,
    Lye,
    Mould,
    Portions,
    Purchases,
    Scaled,
    Schedule,
)
from kettlewright_client.wire import Request, Wire, new_session

__all__ = ["Client"]

Body = Mapping[str, Any]
Result = TypeVar("Result")

class Client:
    """A connection to the service. Threads may share one.

    Parameters
    ----------
    base_url : str
        Address of the service, such as "http://127.0.0.1:8000" or "https://example.org/soap/". [URL]
    timeout : tuple of float
        To connect, and between two parts of a reply. [s]
    retries : int
        How often a request is repeated after a broken connection, a truncated reply, 429, 502, 503 or 504. Repeating
        is safe, because the service stores nothing. [times]
    session : requests.Session, optional
        Your own session, for proxies and tests. [session]
    patience : float
        The longest that a call may take, with all retries and pauses. [s]

    Raises
    ------
    ClientError : an argument is not valid.
    """

    def __init__(self, base_url: str = "http://127.0.0.1:8000", *, timeout: tuple[float, float] = (3.05, 10.0),
                 retries: int = 2, session: requests.Session | None = None, patience: float = 60.0) -> None:
        self._base_url = base_url.rstrip("/")
        self._own_session = session is None
        self._session = new_session() if session is None else session
        if not isinstance(timeout, tuple) or len(timeout) != 2:
            raise ClientError(f"timeout is {timeout!r}; give two numbers: seconds to connect and seconds to wait.")
        self._wire = Wire(
            self._session, address_shown(base_url), retries=whole_number("retries", retries, 0, MOST_RETRIES),
            timeout=(seconds("timeout", timeout[0]), seconds("timeout", timeout[1])),
            patience=seconds("patience", patience))

    def __enter__(self) -> Client:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None,
                 trace: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Close the connections that this client opened."""
        if self._own_session:
            self._session.close()

    def lye(self, *, fats: Sequence[Body], alkalis: Sequence[Body], water: Body, **more: Any) -> Lye:
        """What to weigh for a recipe (`more`: superfat_pct or superfat_at_least_pct, acids, liquids, temperatures,
        scale, units, batter_density, expected_loss_pct, workings, own_fats). [units]

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service answered with a problem.
        Unreachable, TimedOut : no reply.
        """
        return self._result(Lye, "lye", {"fats": fats, "alkalis": alkalis, "water": water, **more})

    def scaling(self, *, recipe: Body, target: Body, **more: Any) -> Scaled:
        """Scale a recipe (`target`: mass, mould, bars or what is left; `more`: additions, scale, units, batter_density,
        own_fats).

        [units] Raises as `lye` does.
        """
        return self._result(Scaled, "scaling", {"recipe": recipe, "target": target, **more})

    def moulds(self, *, mould: Body | None = None, **more: Any) -> Mould:
        """Volume of a mould (`more`: fill, units), or which moulds to fill (`more`: moulds, order, objective, units).

        [units] Raises as `lye` does.
        """
        return self._result(Mould, "moulds", {**({} if mould is None else {"mould": mould}), **more})

    def portions(self, *, batter: Body, portions: Sequence[Body], **more: Any) -> Portions:
        """Contents of each bucket (`more`: additions, residue, mould, arrangement, scale, expected_loss_pct, units).

        [units] Raises as `lye` does.
        """
        return self._result(Portions, "portions", {"batter": batter, "portions": portions, **more})

    def cuts(self, *, block: Body, bar: Body, **more: Any) -> Cuts:
        """Cut a block into bars (`more`: loaf, kerf, trim, tolerance, density, expected_loss_pct, units).

        [units] Raises as `lye` does.
        """
        return self._result(Cuts, "cuts", {"block": block, "bar": bar, **more})

    def batches(self, *, recipe: Body, mould: Body, **more: Any) -> Batch:
        """Plan a whole batch (`more`: portions, additions, residue, arrangement, cut, scale, expected_loss_pct, units,
        batter_density, own_fats). [units] Raises as `lye` does.
        """
        return self._result(Batch, "batches", {"recipe": recipe, "mould": mould, **more})

    def plan_many(self, bodies: Iterable[Body], *, workers: int = 4,
                  progress: Callable[[int, int], None] | bool | None = None) -> tuple[Batch | ClientError, ...]:
        """Plan many batches, several at a time. Each gives its plan or its exception, in the order of `bodies`.

        Parameters
        ----------
        bodies : iterable of mapping
            Each with the arguments of `batches`. [units]
        workers : int
            How many run at a time, 1 to 32. [batches]
        progress : callable or bool, optional
            Called with the number done and the total. True shows a progress bar on stderr if that is a terminal.
            [batches]

        Returns
        -------
        tuple : an invalid body affects no other. [plans]
        """
        return plan_all(lambda body: self._result(Batch, "batches", body), bodies, workers=workers, progress=progress)

    def form(self, operation: str, word: str, body: Body | bytes | None = None, **address: str) -> str:
        """Get the reply of an operation in another form, as text.

        Parameters
        ----------
        operation : str
            Such as "cuts". For "fat" give `key` in `address`. [word]
        word : str
            Name of the form: json, svg, html, ics, csv ... [word]
        body : mapping or bytes, optional
            Arguments of that method. Bytes of JSON are sent unchanged. [units]
        **address : str
            Further query parameters. [text]

        Returns
        -------
        str : a complete reply. Lines may end in CR LF: write it with newline="".

        Raises
        ------
        as `lye` does
        """
        found = self._request(operation, word, body, address)
        return found if isinstance(found, str) else json.dumps(getattr(found, "raw", found), ensure_ascii=False)

    def actuals(self, *, plan: Body, identity: str, stage: str, **more: Any) -> Actuals:
        """Compare what you really weighed with the plan, and get the next step (`plan`: the body sent to `batches`;
        `identity`: from its reply; `stage`: fats, lye_made, in_pot, poured or cut; `more`: weighed, rescue_with, bars,
        weighings, data_version). [units of the plan] Raises as `lye` does.
        """
        return self._result(Actuals, "actuals", {"plan": plan, "identity": identity, "stage": stage, **more})

    def batch_sheet(self, *, recipe: Body, mould: Body, **more: Any) -> str:
        """Get the batch sheet as HTML, with the arguments of `batches`. Raises as `lye` does."""
        return self.form("batches", "html", {"recipe": recipe, "mould": mould, **more})

    def cut_face(self, *, recipe: Body, mould: Body, **more: Any) -> str:
        """Get the cut face as SVG, with the arguments of `batches`. Raises as `lye` does."""
        return self.form("batches", "svg", {"recipe": recipe, "mould": mould, **more})

    def picture(self, operation: str, **body: Any) -> str:
        """Get the picture (SVG) of moulds, portions, fades, cuts, cure or batches (`operation`).

        The arguments are those of that method. Raises as `lye` does.
        """
        return self.form(operation, "svg", body)

    def calendar(self, operation: str, **body: Any) -> str:
        """Get the calendar (iCalendar) of cure or schedules (`operation`), with the arguments of that method.

        Write it to a file in UTF-8 and with newline="", because RFC 5545 prescribes its line ends.

        Raises as `lye` does.
        """
        return self.form(operation, "ics", body)

    def cure(self, **body: Any) -> Cure:
        """Dates of a batch, its drying curve, and masses on a day (`body`: name, dates, weighings, on, until, promise,
        batter_mass, water_mass, expected_loss_pct, stamp, units; each part can be used alone).

        [units, days] Raises as `lye` does.
        """
        return self._result(Cure, "cure", body)

    def schedules(self, *, batches: Sequence[Body], moulds: Sequence[Body], earliest: str, **more: Any) -> Schedule:
        """Plan a calendar of several batches (`more`: releases, pours_per_day_count, places, closed, objective, stamp).

        [days] Raises as `lye` does. If no calendar is possible, `InvalidInput` says what one more of each thing would
        change.
        """
        return self._result(Schedule, "schedules",
                          {"batches": batches, "moulds": moulds, "earliest": earliest, **more})

    def fades(self, *, swatches: Sequence[Body], portions: Sequence[Body], **more: Any) -> Fade:
        """Compute doses of a fade (`more`: kind, steps, curve, doses, darkest_dose, lightest_dose, other, carry_over,
        dispersion_pct, price, more, units). [g per kg of batter] Raises as `lye` does.
        """
        return self._result(Fade, "fades", {"swatches": swatches, "portions": portions, **more})

    def labels(self, *, recipe: Body, mould: Body, label: Body, **more: Any) -> Labels:
        """Draft the labels of a batch (`label`: market, date of sale, requested net quantity ...; `more`: as for
        `batches`). [% by mass, units] Raises as `lye` does.
        """
        return self._result(Labels, "labels", {"recipe": recipe, "mould": mould, "label": label, **more})

    def blends(self, *, fats: Sequence[Body], objective: Body, **more: Any) -> Blend:
        """Find shares of the fats you have that meet constraints (`more`: wishes, recipe, fats_mass, own_fats, scale,
        units).

        [% of fats] Raises as `lye` does.
        """
        return self._result(Blend, "blends", {"fats": fats, "objective": objective, **more})

    def costs(self, *, prices: Body, **more: Any) -> Costs:
        """Cost of a batch and a bar (`prices`: ingredients, packaging, labour, overhead_pct, bars_count, broken_pct,
        kept_back_count, selling; `more`: the arguments of `batches`, or `rows` instead, units).

        [currency] Raises as `lye` does.
        """
        return self._result(Costs, "costs", {"prices": prices, **more})

    def purchases(self, *, packs: Sequence[Body], **more: Any) -> Purchases:
        """Choose packs to buy (`more`: needs, batches, at_hand, suppliers, units). [currency] Raises as `lye` does."""
        return self._result(Purchases, "purchases", {"packs": packs, **more})

    def fats(self, **filters: str | float) -> Fats:
        """Search the table of fats (`filters`: search, kind, saponification_value_min, saponification_value_max,
        iodine_value_min, iodine_value_max, fatty_acid, fatty_acid_min_pct, fatty_acid_max_pct). Raises as `lye` does.
        """
        return self._result(Fats, "fats", None, {name: str(value) for name, value in filters.items()})

    def fat(self, key: str) -> FatEntry:
        """Look up a fat (`key`). Raises as `lye` does."""
        return self._result(FatEntry, "fat", None, {"key": key})

    def cautions(self) -> tuple[Mapping[str, Any], ...]:
        """Get the texts of all cautions. Raises as `lye` does."""
        return tuple(self._request("cautions", "json")["cautions"])

    def sources(self) -> tuple[Mapping[str, Any], ...]:
        """Get all sources: key (as in `meta["sources"]`), title, provenance, message. Raises as `lye` does."""
        return tuple(self._request("sources", "json")["sources"])

    def version(self) -> Mapping[str, str]:
        """Get the versions of service and data. Raises as `lye` does."""
        return dict(self._request("version", "json"))

    def healthz(self) -> Mapping[str, str]:
        """Check that the service is alive. Raises as `lye` does."""
        return dict(self._request("healthz", "json"))

    def readyz(self) -> Mapping[str, str]:
        """Check that tables are loaded and a known calculation is right; `Busy` if not. Raises as `lye` does."""
        return dict(self._request("readyz", "json"))

    def _result(self, kind: type[Result], operation: str, body: Body | None,
                address: Mapping[str, str] | None = None) -> Result:
        return cast(Result, self._request(operation, "json", body, address))  # operations.py has the class

    def _request(self, operation: str, word: str, body: Body | bytes | None = None,
             address: Mapping[str, str] | None = None) -> Any:
        if operation not in OPERATIONS:
            raise ClientError(f'"{operation}" is not an operation. Operations are {", ".join(OPERATIONS)}.')
        found, params = OPERATIONS[operation], dict(address or {})
        path = found.path.replace("{key}", quote(params.pop("key", ""), safe="")) if "{" in found.path else found.path
        if word not in ("json", *found.forms):
            params["format"] = word
        headers = {"Accept": MEDIA_TYPES.get(word, "*/*"), "User-Agent": "kettlewright-client"}
        data = None
        if found.method == "POST":
            headers["Content-Type"] = "application/json"
            data = body if isinstance(body, bytes) else json_bytes({} if body is None else body)
        return self._wire.send(Request(found.method, self._base_url + path, headers, params, data),
                               lambda answer: read_reply(found, word, answer))
