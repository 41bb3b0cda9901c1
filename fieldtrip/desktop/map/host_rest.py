"""How long a server that gave trouble is left alone."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime

FIRST_REST_S = 5.0
LONGEST_REST_S = 600.0
_LONGEST_ASKED_S = 86_400.0  # what a server may ask for


class HostRest:
    """Each trouble in a row doubles the rest; a good answer ends the row."""

    def __init__(self, clock_s: Callable[[], float]) -> None:
        self._clock_s = clock_s
        self._until_s: dict[str, float] = {}
        self._troubles: dict[str, int] = {}

    def is_resting(self, host: str) -> bool:
        """Whether a server is not to be asked now."""
        return self._clock_s() < self._until_s.get(host, 0.0)

    def is_suspect(self, host: str) -> bool:
        """Whether the last that was heard of a server was trouble."""
        return host in self._troubles

    def take_trouble(self, host: str, asked_s: float | None = None) -> float:
        """Rest from now on; gives the seconds.

        `asked_s` is how long the server asks for, which is never cut short below a day.
        Trouble while it rests, from what was under way, adds nothing.
        """
        if self.is_resting(host):
            left_s = self._until_s[host] - self._clock_s()
            if asked_s is None or asked_s <= left_s:
                return left_s
        else:
            self._troubles[host] = self._troubles.get(host, 0) + 1
        doubled_s = FIRST_REST_S * 2.0 ** (min(self._troubles[host], 20) - 1)
        rest_s = min(doubled_s, LONGEST_REST_S)
        if asked_s is not None:
            rest_s = max(rest_s, min(asked_s, _LONGEST_ASKED_S))
        self._until_s[host] = self._clock_s() + rest_s
        return rest_s

    def take_answer(self, host: str) -> None:
        """Forget the troubles of a server."""
        self._troubles.pop(host, None)
        self._until_s.pop(host, None)


def asked_rest_s(header: str, now: datetime) -> float | None:
    """Seconds that a ``Retry-After`` header asks for, as a number or as a date.

    None for anything else.  Source: RFC 9110, section 10.2.3.
    """
    text = header.strip()
    if text.isascii() and text.isdigit():
        return float(text[:9])
    try:
        moment = parsedate_to_datetime(text)
    except ValueError:
        return None
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=UTC)
    return max(0.0, (moment - now).total_seconds())
