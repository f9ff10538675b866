"""The client: one method for each operation, keyword arguments named as in the contract."""

from __future__ import annotations

import random
import time
from collections.abc import Mapping, Sequence
from types import TracebackType
from typing import Any, TypeVar
from urllib.parse import quote

import requests

from kettlewright_client.actuals import Actuals
from kettlewright_client.batch import Batch
from kettlewright_client.errors import ClientError, ServerFault, TimedOut, Unreachable, problem_of
from kettlewright_client.money import Costs, Purchases
from kettlewright_client.results import (
    Blend,
    Cure,
    Cuts,
    Fade,
    FatEntry,
    Fats,
    Labels,
    Lye,
    Mould,
    Portions,
    Scaled,
    Schedule,
    read,
)

__all__ = ["Client"]

Body = Mapping[str, Any]
Result = TypeVar("Result")

_REPEATABLE = frozenset({429, 502, 503, 504})
_LONGEST_PAUSE_S = 8.0


class Client:
    """A connection to a service.

    Parameters
    ----------
    base_url : str
        Where it is, such as "http://127.0.0.1:8000". [URL]
    timeout : tuple of float
        To connect, and between two parts of a reply; there always is one. [s]
    retries : int
        How often a request is repeated after a broken connection, 429, 502, 503 or 504; every request may be repeated,
        since nothing is stored. [times]
    session : requests.Session, optional
        Your own, for proxies and tests. [session]
    """

    def __init__(self, base_url: str = "http://127.0.0.1:8000", *, timeout: tuple[float, float] = (3.05, 10.0),
                 retries: int = 2, session: requests.Session | None = None) -> None:
        self._base_url = base_url.rstrip("/")
        self._timeout = timeout
        self._retries = retries
        self._session = session if session is not None else requests.Session()
        self._own_session = session is None

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
        InvalidInput, NotFound, TooLarge, Busy, ServerFault : the service's own words.
        Unreachable, TimedOut : no reply.
        """
        return self._post(Lye, "/v1/lye", {"fats": fats, "alkalis": alkalis, "water": water, **more})

    def scaling(self, *, recipe: Body, target: Body, **more: Any) -> Scaled:
        """A recipe at another size (`more`: additions, scale, units, batter_density, own_fats).

        [units] Raises as `lye` does.
        """
        return self._post(Scaled, "/v1/scaling", {"recipe": recipe, "target": target, **more})

    def moulds(self, *, mould: Body | None = None, **more: Any) -> Mould:
        """What a mould holds (`more`: fill, units), or which to fill (`more`: moulds, order, objective, units).

        [units] Raises as `lye` does.
        """
        return self._post(Mould, "/v1/moulds", {**({} if mould is None else {"mould": mould}), **more})

    def portions(self, *, batter: Body, portions: Sequence[Body], **more: Any) -> Portions:
        """What goes into each bucket (`more`: additions, residue, mould, arrangement, scale, expected_loss_pct, units).

        [units] Raises as `lye` does.
        """
        return self._post(Portions, "/v1/portions", {"batter": batter, "portions": portions, **more})

    def cuts(self, *, block: Body, bar: Body, **more: Any) -> Cuts:
        """A block cut into bars (`more`: loaf, kerf, trim, tolerance, density, expected_loss_pct, units).

        [units] Raises as `lye` does.
        """
        return self._post(Cuts, "/v1/cuts", {"block": block, "bar": bar, **more})

    def batches(self, *, recipe: Body, mould: Body, **more: Any) -> Batch:
        """One whole batch (`more`: portions, additions, residue, arrangement, cut, scale, expected_loss_pct, units,
        batter_density, own_fats). [units] Raises as `lye` does.
        """
        return self._post(Batch, "/v1/batches", {"recipe": recipe, "mould": mould, **more})

    def actuals(self, *, plan: Body, identity: str, stage: str, **more: Any) -> Actuals:
        """What was really weighed of a batch so far, and the next thing to do (`plan`: the body sent to `batches`;
        `identity`: of its reply; `stage`: fats, lye_made, in_pot, poured or cut; `more`: weighed, rescue_with, bars,
        weighings, data_version). [units of the plan] Raises as `lye` does.
        """
        return self._post(Actuals, "/v1/batches/actuals", {"plan": plan, "identity": identity, "stage": stage, **more})

    def batch_sheet(self, *, recipe: Body, mould: Body, **more: Any) -> str:
        """The batch sheet as HTML, with the arguments of `batches`. Raises as `lye` does."""
        return self._send("POST", "/v1/batches", accept="text/html",
                          json={"recipe": recipe, "mould": mould, **more}).text

    def cut_face(self, *, recipe: Body, mould: Body, **more: Any) -> str:
        """The cut face as SVG, with the arguments of `batches`. Raises as `lye` does."""
        return self.picture("batches", recipe=recipe, mould=mould, **more)

    def picture(self, operation: str, **body: Any) -> str:
        """The picture (SVG) of moulds, portions, fades, cuts, cure or batches (`operation`).

        It takes that method's arguments. Raises as `lye` does.
        """
        return self._send("POST", f"/v1/{quote(operation, safe='')}", accept="image/svg+xml", json=body).text

    def calendar(self, operation: str, **body: Any) -> str:
        """The calendar (iCalendar) of cure or schedules (`operation`), with that method's arguments.

        Write it to a file as it is, in UTF-8 and with newline="", since its lines end as RFC 5545 wants.

        Raises as `lye` does.
        """
        return self._send("POST", f"/v1/{quote(operation, safe='')}", accept="text/calendar", json=body).text

    def cure(self, **asked: Any) -> Cure:
        """Dates of a batch, its drying curve, masses on a day (`asked`: name, dates, weighings, on, until, promise,
        batter_mass, water_mass, expected_loss_pct, stamp, units; each part alone will do).

        [units, days] Raises as `lye` does.
        """
        return self._post(Cure, "/v1/cure", asked)

    def schedules(self, *, batches: Sequence[Body], moulds: Sequence[Body], earliest: str, **more: Any) -> Schedule:
        """A calendar of several batches (`more`: releases, pours_per_day_count, places, closed, objective, stamp).

        [days] Raises as `lye` does; where there is no calendar, `InvalidInput` says what one more of each thing would
        do.
        """
        return self._post(Schedule, "/v1/schedules",
                          {"batches": batches, "moulds": moulds, "earliest": earliest, **more})

    def fades(self, *, swatches: Sequence[Body], portions: Sequence[Body], **more: Any) -> Fade:
        """Doses of a fade (`more`: kind, steps, curve, doses, darkest_dose, lightest_dose, other, carry_over,
        dispersion_pct, price, more, units). [g per kg of batter] Raises as `lye` does.
        """
        return self._post(Fade, "/v1/fades", {"swatches": swatches, "portions": portions, **more})

    def labels(self, *, recipe: Body, mould: Body, label: Body, **more: Any) -> Labels:
        """What the labels of a batch must list and may promise (`label`: market and what else is asked; `more`: as for
        `batches`). [% by mass, units] Raises as `lye` does.
        """
        return self._post(Labels, "/v1/labels", {"recipe": recipe, "mould": mould, "label": label, **more})

    def blends(self, *, fats: Sequence[Body], objective: Body, **more: Any) -> Blend:
        """Shares of the fats at hand under wishes (`more`: wishes, recipe, fats_mass, own_fats, scale, units).

        [% of fats] Raises as `lye` does.
        """
        return self._post(Blend, "/v1/blends", {"fats": fats, "objective": objective, **more})

    def costs(self, *, prices: Body, **more: Any) -> Costs:
        """What a batch and a bar cost (`prices`: ingredients, packaging, labour, overhead_pct, bars_count, broken_pct,
        kept_back_count, selling; `more`: the arguments of `batches`, or rows in their place, units).

        [currency] Raises as `lye` does.
        """
        return self._post(Costs, "/v1/costs", {"prices": prices, **more})

    def purchases(self, *, packs: Sequence[Body], **more: Any) -> Purchases:
        """Which packs to buy (`more`: needs, batches, at_hand, suppliers, units). [currency] Raises as `lye` does."""
        return self._post(Purchases, "/v1/purchases", {"packs": packs, **more})

    def fats(self, **wanted: str | float) -> Fats:
        """The table of fats, all or some (`wanted`: search, kind, saponification_value_min, saponification_value_max,
        iodine_value_min, iodine_value_max, fatty_acid, fatty_acid_min_pct, fatty_acid_max_pct). Raises as `lye` does.
        """
        return _read(Fats, self._send("GET", "/v1/fats", params={name: str(value) for name, value in wanted.items()}))

    def fat(self, key: str) -> FatEntry:
        """Everything known of a fat (`key`). Raises as `lye` does."""
        return _read(FatEntry, self._send("GET", f"/v1/fats/{quote(key, safe='')}"))

    def cautions(self) -> tuple[Mapping[str, Any], ...]:
        """The texts of all cautions. Raises as `lye` does."""
        return tuple(_object(self._send("GET", "/v1/cautions"))["cautions"])

    def version(self) -> Mapping[str, str]:
        """Versions of service and data. Raises as `lye` does."""
        return _object(self._send("GET", "/version"))

    def healthz(self) -> Mapping[str, str]:
        """Whether the service is alive. Raises as `lye` does."""
        return _object(self._send("GET", "/healthz"))

    def readyz(self) -> Mapping[str, str]:
        """Whether its tables are loaded and a known calculation agrees; `Busy` where not. Raises as `lye` does."""
        return _object(self._send("GET", "/readyz"))

    def _post(self, kind: type[Result], path: str, body: Mapping[str, Any]) -> Result:
        return _read(kind, self._send("POST", path, json=body))

    def _send(self, method: str, path: str, *, accept: str = "application/json", json: Any = None,
              params: Mapping[str, str] | None = None) -> requests.Response:
        for attempt in range(self._retries + 1):
            last = attempt == self._retries
            try:
                reply = self._session.request(method, self._base_url + path, json=json, params=params,
                                              headers={"Accept": accept}, timeout=self._timeout)
            except requests.Timeout as error:
                raise TimedOut(f"No reply from {self._base_url} in time: {error}") from error
            except (requests.ConnectionError, requests.exceptions.ChunkedEncodingError) as error:
                if last:
                    raise Unreachable(f"No reply from {self._base_url}: {error}") from error
                time.sleep(_pause(attempt, None))
                continue
            except requests.RequestException as error:
                raise ClientError(f"The request could not be sent: {error}") from error
            if reply.ok:
                return reply
            if last or reply.status_code not in _REPEATABLE:
                raise problem_of(reply.status_code, _json_or_none(reply), reply.headers)
            time.sleep(_pause(attempt, reply.headers.get("Retry-After")))
        raise AssertionError("unreachable: the last attempt returns or raises")


def _pause(attempt: int, asked: str | None) -> float:
    """What the service asks for, else twice as long each time, with jitter; never beyond a ceiling. [s]"""
    if asked is not None and asked.isdecimal():
        return min(float(asked), _LONGEST_PAUSE_S)
    return float(min(0.25 * 2 ** attempt, _LONGEST_PAUSE_S) * random.uniform(0.5, 1.0))


def _json_or_none(reply: requests.Response) -> Any:
    try:
        return reply.json()
    except ValueError:
        return None


def _object(reply: requests.Response) -> dict[str, Any]:
    found = _json_or_none(reply)
    if not isinstance(found, dict):
        raise ServerFault(reply.status_code, detail="the reply is no JSON object; something stands in between",
                          request_id=reply.headers.get("X-Request-ID", ""))
    return found


def _read(kind: type[Result], reply: requests.Response) -> Result:
    try:
        return read(kind, _object(reply))
    except (KeyError, TypeError, AttributeError) as error:
        raise ServerFault(reply.status_code, detail=f"the reply is not as agreed: {error}",
                          request_id=reply.headers.get("X-Request-ID", "")) from error
