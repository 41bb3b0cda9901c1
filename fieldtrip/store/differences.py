"""How a secondary port's differences are written down.  Private to `fieldtrip.store`.

Times as microseconds, the standard port's clock as those ahead of UTC.
"""

from __future__ import annotations

import json
from dataclasses import asdict
from datetime import UTC, timedelta, timezone
from typing import Any

from fieldtrip.tides.secondary import (
    ClockDifferences,
    HighAndLowOffsets,
    InterpolatedDifferences,
    Offset,
    RatioAboutMeanLevel,
)
from fieldtrip.tides.stations import KnownDifferences

_FORMS: dict[str, type[KnownDifferences]] = {
    "ratio": RatioAboutMeanLevel,
    "offsets": HighAndLowOffsets,
    "interpolated": InterpolatedDifferences,
}
_MICROSECOND = timedelta(microseconds=1)
_TIMES = ("high", "low", "later", "at_first", "at_second")


def packed(differences: KnownDifferences) -> dict[str, object]:
    """The values by the names of their fields, with the name of the form."""
    form = next(name for name, kind in _FORMS.items() if kind is type(differences))
    return {"form": form, **_packed(asdict(differences))}


def unpacked(text: str) -> KnownDifferences:
    """The inverse of `packed` as JSON.  Raises `ValueError` for what it is not."""
    try:
        values = json.loads(text)
        form = values.pop("form")
        if form == "ratio":
            return RatioAboutMeanLevel(**_times(values))
        if form == "offsets":
            return HighAndLowOffsets(
                Offset(**_times(values["high"])), Offset(**_times(values["low"]))
            )
        if form == "interpolated":
            ahead = timedelta(microseconds=values.pop("clock"))
            return InterpolatedDifferences(
                high=ClockDifferences(**_times(values.pop("high"))),
                low=ClockDifferences(**_times(values.pop("low"))),
                clock=timezone(ahead) if ahead else UTC,
                **values,
            )
    except (TypeError, KeyError, AttributeError) as error:
        raise ValueError(f"{error} in {text[:80]!r}") from error
    raise ValueError(f"{form!r} is no form of differences")


def _packed(values: dict[str, Any]) -> dict[str, object]:
    return {name: _pack(value) for name, value in values.items()}


def _pack(value: Any) -> object:
    if isinstance(value, dict):
        return _packed(value)
    if isinstance(value, timedelta):
        return value // _MICROSECOND
    if isinstance(value, timezone):
        return value.utcoffset(None) // _MICROSECOND
    return value


def _times(values: dict[str, Any]) -> dict[str, Any]:
    return {
        name: timedelta(microseconds=value) if name in _TIMES else value
        for name, value in values.items()
    }
