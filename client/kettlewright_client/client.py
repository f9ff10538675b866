"""The client: one method for each operation, keyword arguments named as in the contract."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from types import TracebackType
from typing import Any, TypeVar, cast
from urllib.parse import quote

import requests

from kettlewright_client.errors import ClientError
from kettlewright_client.forms import taken
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
    """A connection to a service; several threads may use one.

    Parameters
    ----------
    base_url : str
        Where it is, such as "http://127.0.0.1:8000" or "https://example.org/soap/". [URL]
    timeout : tuple of float
        To connect, and between two parts of a reply; there always is one. [s]
    retries : int
        How often a request is made again after a broken connection, a reply that was cut off, 429, 502, 503 or 504;
        every request may be made again, since nothing is stored. [times]
    session : requests.Session, optional
        Your own, for proxies and tests. [session]
    patience : float
        The longest any call may take, with all retries and the pauses between them. [s]

    Raises
    ------
    ClientError : one of these cannot be used.
    """

    def __init__(self, base_url: str = "http://127.0.0.1:8000", *, timeout: tuple[float, float] = (3.05, 10.0),
                 retries: int = 2, session: requests.Session | None = None, patience: float = 60.0) -> None:
        self._base_url = base_url.rstrip("/")
        self._own_session = session is None
        self._session = new_session() if session is None else session
        if not isinstance(timeout, tuple) or len(timeout) != 2:
            raise ClientError(f"timeout is {timeout!r}; give two numbers: seconds to connect, seconds to wait.")
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
        """Close the connections this client opened."""
        if self._own_session:
            self._session.close()

    def lye(self, *, fats: Sequence[Body], alkalis: Sequence[Body], water: Body, **more: Any) -> Lye:
        """What to weigh for a recipe (`more`: superfat_pct or superfat_at_least_pct, acids, liquids, temperatures,
        scale, units, batter_density, expected_loss_pct, workings, own_fats). [units]

        Raises
        ------
        InvalidInput, NotFound, TooLarge, Refused, Busy, ServerFault : the service's own words.
        Unreachable, TimedOut : no reply.
        """
        return self._result(Lye, "lye", {"fats": fats, "alkalis": alkalis, "water": water, **more})

    def scaling(self, *, recipe: Body, target: Body, **more: Any) -> Scaled:
        """A recipe at another size (`more`: additions, scale, units, batter_density, own_fats).

        [units] Raises as `lye` does.
        """
        return self._result(Scaled, "scaling", {"recipe": recipe, "target": target, **more})

    def moulds(self, *, mould: Body | None = None, **more: Any) -> Mould:
        """What a mould holds (`more`: fill, units), or which to fill (`more`: moulds, order, objective, units).

        [units] Raises as `lye` does.
        """
        return self._result(Mould, "moulds", {**({} if mould is None else {"mould": mould}), **more})

    def portions(self, *, batter: Body, portions: Sequence[Body], **more: Any) -> Portions:
        """What goes into each bucket (`more`: additions, residue, mould, arrangement, scale, expected_loss_pct, units).

        [units] Raises as `lye` does.
        """
        return self._result(Portions, "portions", {"batter": batter, "portions": portions, **more})

    def cuts(self, *, block: Body, bar: Body, **more: Any) -> Cuts:
        """A block cut into bars (`more`: loaf, kerf, trim, tolerance, density, expected_loss_pct, units).

        [units] Raises as `lye` does.
        """
        return self._result(Cuts, "cuts", {"block": block, "bar": bar, **more})

    def batches(self, *, recipe: Body, mould: Body, **more: Any) -> Batch:
        """One whole batch (`more`: portions, additions, residue, arrangement, cut, scale, expected_loss_pct, units,
        batter_density, own_fats). [units] Raises as `lye` does.
        """
        return self._result(Batch, "batches", {"recipe": recipe, "mould": mould, **more})

    def plan_many(self, bodies: Iterable[Body], *, workers: int = 4,
                  progress: Callable[[int, int], None] | bool | None = None) -> tuple[Batch | ClientError, ...]:
        """Many batches, some at a time: each comes to its plan or to its exception, in the order asked.

        Parameters
        ----------
        bodies : iterable of mapping
            Each with the arguments of `batches`. [units]
        workers : int
            How many are asked for at a time, 1 to 32. [batches]
        progress : callable or bool, optional
            Called with how many are done and how many there are; True shows a bar on stderr, where that is a terminal.
            [batches]

        Returns
        -------
        tuple : a bad body spoils nothing but itself. [plans]
        """
        return plan_all(lambda body: self._result(Batch, "batches", body), bodies, workers=workers, progress=progress)

    def form(self, operation: str, word: str, body: Body | bytes | None = None, **address: str) -> str:
        """The reply of an operation in another form, as text.

        Parameters
        ----------
        operation : str
            Such as "cuts"; of `fat` the key stands in `address`. [word]
        word : str
            What the service calls the form: json, svg, html, ics ... [word]
        body : mapping or bytes, optional
            The arguments of that method; bytes of JSON are sent as they are. [units]
        **address : str
            What more is to stand in the address. [text]

        Returns
        -------
        str : whole, or there is an exception. Lines may end in CR LF: write it with newline="".

        Raises
        ------
        as `lye` does
        """
        found = self._ask(operation, word, body, address)
        return found if isinstance(found, str) else json.dumps(getattr(found, "raw", found), ensure_ascii=False)

    def actuals(self, *, plan: Body, identity: str, stage: str, **more: Any) -> Actuals:
        """What was really weighed of a batch so far, and the next thing to do (`plan`: the body sent to `batches`;
        `identity`: of its reply; `stage`: fats, lye_made, in_pot, poured or cut; `more`: weighed, rescue_with, bars,
        weighings, data_version). [units of the plan] Raises as `lye` does.
        """
        return self._result(Actuals, "actuals", {"plan": plan, "identity": identity, "stage": stage, **more})

    def batch_sheet(self, *, recipe: Body, mould: Body, **more: Any) -> str:
        """The batch sheet as HTML, with the arguments of `batches`. Raises as `lye` does."""
        return self.form("batches", "html", {"recipe": recipe, "mould": mould, **more})

    def cut_face(self, *, recipe: Body, mould: Body, **more: Any) -> str:
        """The cut face as SVG, with the arguments of `batches`. Raises as `lye` does."""
        return self.form("batches", "svg", {"recipe": recipe, "mould": mould, **more})

    def picture(self, operation: str, **body: Any) -> str:
        """The picture (SVG) of moulds, portions, fades, cuts, cure or batches (`operation`).

        It takes that method's arguments. Raises as `lye` does.
        """
        return self.form(operation, "svg", body)

    def calendar(self, operation: str, **body: Any) -> str:
        """The calendar (iCalendar) of cure or schedules (`operation`), with that method's arguments.

        Write it to a file as it is, in UTF-8 and with newline="", since its lines end as RFC 5545 wants.

        Raises as `lye` does.
        """
        return self.form(operation, "ics", body)

    def cure(self, **asked: Any) -> Cure:
        """Dates of a batch, its drying curve, masses on a day (`asked`: name, dates, weighings, on, until, promise,
        batter_mass, water_mass, expected_loss_pct, stamp, units; each part alone will do).

        [units, days] Raises as `lye` does.
        """
        return self._result(Cure, "cure", asked)

    def schedules(self, *, batches: Sequence[Body], moulds: Sequence[Body], earliest: str, **more: Any) -> Schedule:
        """A calendar of several batches (`more`: releases, pours_per_day_count, places, closed, objective, stamp).

        [days] Raises as `lye` does; where there is no calendar, `InvalidInput` says what one more of each thing would
        do.
        """
        return self._result(Schedule, "schedules",
                          {"batches": batches, "moulds": moulds, "earliest": earliest, **more})

    def fades(self, *, swatches: Sequence[Body], portions: Sequence[Body], **more: Any) -> Fade:
        """Doses of a fade (`more`: kind, steps, curve, doses, darkest_dose, lightest_dose, other, carry_over,
        dispersion_pct, price, more, units). [g per kg of batter] Raises as `lye` does.
        """
        return self._result(Fade, "fades", {"swatches": swatches, "portions": portions, **more})

    def labels(self, *, recipe: Body, mould: Body, label: Body, **more: Any) -> Labels:
        """What the labels of a batch must list and may promise (`label`: market and what else is asked; `more`: as for
        `batches`). [% by mass, units] Raises as `lye` does.
        """
        return self._result(Labels, "labels", {"recipe": recipe, "mould": mould, "label": label, **more})

    def blends(self, *, fats: Sequence[Body], objective: Body, **more: Any) -> Blend:
        """Shares of the fats at hand under wishes (`more`: wishes, recipe, fats_mass, own_fats, scale, units).

        [% of fats] Raises as `lye` does.
        """
        return self._result(Blend, "blends", {"fats": fats, "objective": objective, **more})

    def costs(self, *, prices: Body, **more: Any) -> Costs:
        """What a batch and a bar cost (`prices`: ingredients, packaging, labour, overhead_pct, bars_count, broken_pct,
        kept_back_count, selling; `more`: the arguments of `batches`, or rows in their place, units).

        [currency] Raises as `lye` does.
        """
        return self._result(Costs, "costs", {"prices": prices, **more})

    def purchases(self, *, packs: Sequence[Body], **more: Any) -> Purchases:
        """Which packs to buy (`more`: needs, batches, at_hand, suppliers, units). [currency] Raises as `lye` does."""
        return self._result(Purchases, "purchases", {"packs": packs, **more})

    def fats(self, **wanted: str | float) -> Fats:
        """The table of fats, all or some (`wanted`: search, kind, saponification_value_min, saponification_value_max,
        iodine_value_min, iodine_value_max, fatty_acid, fatty_acid_min_pct, fatty_acid_max_pct). Raises as `lye` does.
        """
        return self._result(Fats, "fats", None, {name: str(value) for name, value in wanted.items()})

    def fat(self, key: str) -> FatEntry:
        """Everything known of a fat (`key`). Raises as `lye` does."""
        return self._result(FatEntry, "fat", None, {"key": key})

    def cautions(self) -> tuple[Mapping[str, Any], ...]:
        """The texts of all cautions. Raises as `lye` does."""
        return tuple(self._ask("cautions", "json")["cautions"])

    def sources(self) -> tuple[Mapping[str, Any], ...]:
        """Every source: key (as in `meta["sources"]`), title, provenance, message. Raises as `lye` does."""
        return tuple(self._ask("sources", "json")["sources"])

    def version(self) -> Mapping[str, str]:
        """Versions of service and data. Raises as `lye` does."""
        return dict(self._ask("version", "json"))

    def healthz(self) -> Mapping[str, str]:
        """Whether the service is alive. Raises as `lye` does."""
        return dict(self._ask("healthz", "json"))

    def readyz(self) -> Mapping[str, str]:
        """Whether its tables are loaded and a known calculation agrees; `Busy` where not. Raises as `lye` does."""
        return dict(self._ask("readyz", "json"))

    def _result(self, kind: type[Result], operation: str, body: Body | None,
                address: Mapping[str, str] | None = None) -> Result:
        return cast(Result, self._ask(operation, "json", body, address))  # operations.py says which kind

    def _ask(self, operation: str, word: str, body: Body | bytes | None = None,
             address: Mapping[str, str] | None = None) -> Any:
        if operation not in OPERATIONS:
            raise ClientError(f'"{operation}" is no operation; there are {", ".join(OPERATIONS)}.')
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
                               lambda answer: taken(found, word, answer))
