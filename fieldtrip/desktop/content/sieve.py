"""Which records the list of places shows, beside what is searched for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Closure,
    Hazard,
    HazardKind,
    Leg,
    Location,
    Permit,
    Refuge,
    StartPlace,
    Subject,
    VantagePoint,
)
from fieldtrip.store.store import Condition
from fieldtrip.trips.records import Trip

# What can be asked for, in the order of the list, in words for many.
KINDS: dict[type[Any], str] = {
    Location: "locations",
    VantagePoint: "vantage points",
    Subject: "subjects",
    AccessRoute: "access routes",
    Leg: "legs",
    Refuge: "refuges",
    StartPlace: "start places",
    Hazard: "hazards",
    Closure: "closures",
    Permit: "permits",
    AccessNote: "access notes",
    Trip: "trips",
}
_Conditions = dict[type[Any], tuple[Condition, ...]]
_TIDE_BOUND: _Conditions = {
    Leg: (Condition(field="is_tidal", values=(True,), or_not_known=True),),
    Hazard: (Condition(field="kind", values=(HazardKind.TIDE,)),),
}
_EXPOSED: _Conditions = {
    Leg: (Condition(field="is_exposed", values=(True,), or_not_known=True),),
    VantagePoint: (Condition(field="on_headland", values=(True,), or_not_known=True),),
}
_CONFIRMED_IN = {  # the fields that say when somebody last saw it so
    Refuge: "confirmed",
    Hazard: "last_confirmed",
    Closure: "last_confirmed",
    AccessNote: "day",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sieve:
    """What a record must be to be listed; all that is asked for must hold."""

    kind: type[Any] | None = None  # None: any
    tide_bound: bool = False  # or not known to be free of the tide
    exposed: bool = False  # or not known not to be
    unconfirmed_months: bool = False  # for twelve of them, or never
    never_confirmed: bool = False

    @property
    def is_open(self) -> bool:
        """Whether it lets everything through."""
        return self == Sieve()

    def among(self, today: date) -> _Conditions:
        """The kinds that can get through, each with what its records must be."""
        found: _Conditions = {kind: () for kind in KINDS if self.kind in (None, kind)}
        asked = []
        if self.tide_bound:
            asked.append(_TIDE_BOUND)
        if self.exposed:
            asked.append(_EXPOSED)
        if self.unconfirmed_months:
            asked.append(_unconfirmed(year_before(today)))
        if self.never_confirmed:
            asked.append(_unconfirmed(None))
        for conditions in asked:
            found = {
                kind: (*known, *conditions[kind])
                for kind, known in found.items()
                if kind in conditions
            }
        return found

    def words(self) -> str:
        """What it lets through, as in ``Only hazards, never confirmed``."""
        parts = [] if self.kind is None else [KINDS[self.kind]]
        if self.tide_bound:
            parts.append("tide-bound or not known")
        if self.exposed:
            parts.append("exposed or not known")
        if self.unconfirmed_months:
            parts.append("not confirmed for 12 months")
        if self.never_confirmed:
            parts.append("never confirmed")
        return f"Only {', '.join(parts)}" if parts else ""


def year_before(day: date) -> date:
    """The same day twelve months earlier; for 29 February the 28th."""
    is_leap_day = (day.month, day.day) == (2, 29)
    return day.replace(year=day.year - 1, day=28 if is_leap_day else day.day)


def doubt_of(record: Any, sieve: Sieve) -> str:
    """What is not known of a record that the sieve let through for that."""
    if isinstance(record, Leg):
        if sieve.tide_bound and record.is_tidal is None:
            return "tide not known"
        if sieve.exposed and record.is_exposed is None:
            return "exposure not known"
    if isinstance(record, VantagePoint) and sieve.exposed and not record.on_headland:
        return "headland not known"
    return ""


def _unconfirmed(before: date | None) -> _Conditions:
    return {
        kind: (Condition(field=field, or_not_known=True, or_before=before),)
        for kind, field in _CONFIRMED_IN.items()
    }
