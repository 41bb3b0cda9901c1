"""Asks a place search on the network, when a person asks for it and never else.

The service's rules bind us: say who asks, at most one question a second, no
question while somebody is still typing, and never the same one twice.
Source: https://operations.osmfoundation.org/policies/nominatim/
"""

from __future__ import annotations

import json
import math
import ssl
import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from http.client import HTTPException, HTTPResponse
from importlib.metadata import PackageNotFoundError, version
from typing import Any
from urllib.error import HTTPError, URLError
from urllib.request import (
    HTTPRedirectHandler,
    HTTPSHandler,
    ProxyHandler,
    Request,
    build_opener,
)

from geopy.adapters import AdapterHTTPError, BaseSyncAdapter
from geopy.exc import (
    GeocoderInsufficientPrivileges,
    GeocoderParseError,
    GeocoderRateLimited,
    GeocoderServiceError,
    GeocoderTimedOut,
    GeocoderUnavailable,
    GeopyError,
)
from geopy.geocoders import Nominatim

from fieldtrip.errors import UserError
from fieldtrip.geo import Position

SERVICE = "nominatim.openstreetmap.org"
TERMS = "https://operations.osmfoundation.org/policies/nominatim/"
COPYRIGHT = "https://www.openstreetmap.org/copyright"
MOST_PLACES = 10
_LEAST_PAUSE_S = 1.0  # between two questions; the service's own rule
_TIMEOUT_S = 6.0  # without a sign of life
_LONGEST_ANSWER_S = 12.0
_LARGEST_ANSWER = 1_000_000  # bytes; ten places take about ten thousand
_LONGEST_QUESTION = 200  # characters
_LONGEST_NAME = 300
_CHUNK = 65_536


@dataclass(frozen=True, slots=True)
class OnlinePlace:
    """A place as the service names it."""

    name: str
    position: Position

    @property
    def short_name(self) -> str:
        """The first part of its name, which is the place itself."""
        return self.name.partition(",")[0].strip() or self.name


class OnlinePlaces:
    """One service, asked slowly; to be used by one job at a time."""

    def __init__(
        self,
        domain: str = SERVICE,
        scheme: str = "https",
        *,
        timeout_s: float = _TIMEOUT_S,
        clock: Callable[[], float] = time.monotonic,
        sleep: Callable[[float], None] = time.sleep,
    ) -> None:
        self.domain = domain
        self._clock, self._sleep = clock, sleep
        self._asked: float | None = None
        self._lock = threading.Lock()
        self._known: dict[str, tuple[OnlinePlace, ...]] = {}
        self._geocoder = Nominatim(
            user_agent=_user_agent(),
            domain=domain,
            scheme=scheme,
            timeout=timeout_s,
            adapter_factory=_SmallAnswers,
        )

    def find(self, text: str) -> tuple[OnlinePlace, ...]:
        """The places of a name, best first; empty where the service knows none.

        Raises `UserError` where it cannot be reached, refuses, or answers nonsense.
        """
        clean = text.encode("utf-8", "replace").decode()  # no halves of symbols
        question = " ".join(clean.split())
        if not question:
            raise UserError("Type the name of a place first.")
        if len(question) > _LONGEST_QUESTION:
            raise UserError(
                f"The name of a place has at most {_LONGEST_QUESTION} characters here."
            )
        with self._lock:
            if question not in self._known:
                self._wait()
                self._known[question] = self._ask(question)
            return self._known[question]

    def _wait(self) -> None:
        if self._asked is not None:
            rest_s = self._asked + _LEAST_PAUSE_S - self._clock()
            if rest_s > 0.0:
                self._sleep(rest_s)
        self._asked = self._clock()

    def _ask(self, question: str) -> tuple[OnlinePlace, ...]:
        nonsense = UserError(
            f"{self.domain} answered with something that is no list of places. It may "
            "be out of order, or a sign-in page of this network stands in the way."
        )
        try:
            answers = self._geocoder.geocode(
                question, exactly_one=False, limit=MOST_PLACES
            )
            return tuple(_place(answer.raw) for answer in (answers or ())[:MOST_PLACES])
        except GeocoderParseError as error:
            raise nonsense from error
        except GeopyError as error:
            raise UserError(_in_words(error, self.domain)) from error
        except (ValueError, TypeError, KeyError, AttributeError) as error:
            raise nonsense from error


def _place(raw: Mapping[str, Any]) -> OnlinePlace:
    """A place of the answer; `ValueError` for one that is nowhere on the Earth."""
    name = raw["display_name"]
    lat_deg, lon_deg = float(raw["lat"]), float(raw["lon"])
    if not isinstance(name, str) or not math.isfinite(lat_deg + lon_deg):
        raise ValueError("no place")
    plain = "".join(c if c.isprintable() else " " for c in name)
    return OnlinePlace(plain[:_LONGEST_NAME].strip(), Position(lat_deg, lon_deg))


def _in_words(error: GeopyError, domain: str) -> str:
    match error:
        case GeocoderRateLimited(retry_after=int(seconds)) if seconds > 0:
            wait = f"in {seconds} seconds" if seconds < 120 else "in some minutes"
            return (
                f"{domain} asks to wait: it had too many questions. Try again {wait}."
            )
        case GeocoderRateLimited():
            return (
                f"{domain} asks to wait: it had too many questions. "
                "Try again in some minutes."
            )
        case GeocoderInsufficientPrivileges():
            return (
                f"{domain} refuses to answer (error 403). Wait a day, or look the "
                "place up on a map and use Place ▸ Go to coordinates…"
            )
        case GeocoderTimedOut():
            return f"{domain} did not answer in time. Try again later."
        case GeocoderUnavailable():
            return (
                f"{domain} cannot be reached. Check whether this computer is on the "
                "network, and try again. Everything else works without it."
            )
    return f"{domain} could not answer ({error}). Try again later."


class _NoRedirects(HTTPRedirectHandler):
    """What was typed goes to the service that is named, and to no other."""

    def redirect_request(self, *_: Any) -> None:
        """Follow nowhere: the redirect is then an error like any other."""


class _SmallAnswers(BaseSyncAdapter):  # type: ignore[misc]  # geopy has no types
    """Reads an answer only as far as a list of places can be long."""

    def __init__(
        self, *, proxies: Mapping[str, str] | None, ssl_context: ssl.SSLContext | None
    ) -> None:
        super().__init__(proxies=proxies, ssl_context=ssl_context)
        context = ssl_context or ssl.create_default_context()
        self._opener = build_opener(
            HTTPSHandler(context=context),
            ProxyHandler(None if proxies is None else dict(proxies)),
            _NoRedirects(),
        )

    def get_json(self, url: str, *, timeout: float, headers: dict[str, str]) -> Any:
        """The answer's value; geopy's errors for all that can go wrong."""
        text = self.get_text(url, timeout=timeout, headers=headers)
        try:
            value = json.loads(text)
            # Before geopy looks at it, which warns of a latitude of 999.
            if isinstance(value, list):
                [_place(item) for item in value]
        except (ValueError, TypeError, KeyError, RecursionError) as error:
            raise GeocoderParseError("no list of places") from error
        return value

    def get_text(self, url: str, *, timeout: float, headers: dict[str, str]) -> str:
        """The answer's text; geopy's errors for all that can go wrong."""
        request = Request(url, headers=headers)
        try:
            with self._opener.open(request, timeout=timeout) as answer:
                return _read(answer).decode("utf-8")
        except HTTPError as error:
            with error:
                raise AdapterHTTPError(
                    f"error {error.code}",
                    status_code=error.code,
                    headers={k.lower(): v for k, v in error.headers.items()},
                    text=None,
                ) from error
        except TimeoutError as error:
            raise GeocoderTimedOut("no answer") from error
        except URLError as error:
            if isinstance(error.reason, TimeoutError):
                raise GeocoderTimedOut("no answer") from error
            if isinstance(error.reason, ssl.SSLError):
                raise GeocoderServiceError(
                    "its certificate could not be checked"
                ) from error
            raise GeocoderUnavailable("not reached") from error
        except UnicodeDecodeError as error:
            raise GeocoderParseError("no text") from error
        except (HTTPException, OSError) as error:
            raise GeocoderServiceError("the connection broke off") from error


def _read(answer: HTTPResponse) -> bytes:
    deadline = time.monotonic() + _LONGEST_ANSWER_S
    parts: list[bytes] = []
    length = 0
    while chunk := answer.read1(_CHUNK):
        parts.append(chunk)
        length += len(chunk)
        if length > _LARGEST_ANSWER:
            raise GeocoderParseError("too long for a list of places")
        if time.monotonic() > deadline:
            raise GeocoderTimedOut("too slow")
    return b"".join(parts)


def _user_agent() -> str:
    try:
        number = version("fieldtrip")
    except PackageNotFoundError:  # run from its sources
        number = "0"
    return f"Fieldtrip/{number} (desktop planner of photographers' days on a coast)"
