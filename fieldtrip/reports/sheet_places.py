"""The sheet's knowledge of the place: hazards, notes, refuges and the way out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from fieldtrip.coordinates import decimal_text
from fieldtrip.geo import Position
from fieldtrip.places.records import Hazard, HazardKind, Refuge, StartPlace
from fieldtrip.reports.sheet import NOT_KNOWN, AgedLine, Fact, Meeting
from fieldtrip.reports.sheet_stops import position_texts
from fieldtrip.reports.sheet_times import Teller, leave_by
from fieldtrip.safety.checklist import Checklist
from fieldtrip.safety.freshness import day_words, is_overdue
from fieldtrip.safety.limits import Limits
from fieldtrip.settings import Settings
from fieldtrip.sky.events import EventName
from fieldtrip.times import local_date
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import TripFacts, WalkFacts
from fieldtrip.wording import (
    closure_text,
    count_text,
    distance_text,
    duration_text,
    height_text,
    permit_text,
    start_place_text,
)

_MINUTE = timedelta(minutes=1)
_FENCES = {True: "fenced", False: "not fenced"}


def hazard_lines(
    facts: TripFacts, settings: Settings, limits: Limits
) -> tuple[AgedLine, ...]:
    """Every hazard of the location, and when it was last seen to be so."""
    day, today = facts.trip.day, _today(facts)
    return tuple(
        AgedLine(
            name=hazard.name,
            text=_hazard_text(hazard, settings),
            age=_confirmed(hazard.last_confirmed),
            is_old=is_overdue(hazard, day, today, limits.confirmed_months),
        )
        for hazard in facts.hazards
    )


def note_lines(
    dossier: Dossier, facts: TripFacts, settings: Settings, limits: Limits
) -> tuple[AgedLine, ...]:
    """Closures and permits as they stand on the day, then access notes by age."""
    day, today = facts.trip.day, _today(facts)
    lines = [
        AgedLine(
            name=closure.name,
            text=_joined(
                f"{closure.kind}: {closure_text(closure, day, settings)}",
                f"source: {closure.source or NOT_KNOWN}",
                closure.notes,
            ),
            age=_confirmed(closure.last_confirmed),
            is_old=closure.last_confirmed is None,
        )
        for closure in dossier.closures
    ]
    lines += [
        AgedLine(
            name=permit.name,
            text=_joined(
                f"permit: {permit_text(permit, day)}",
                f"from {permit.owner or NOT_KNOWN}",
                permit.allows,
                permit.notes,
            ),
            age="",
            is_old=permit.expires is None or permit.expires < day,
        )
        for permit in dossier.permits
    ]
    lines += [
        AgedLine(
            name=f"{str(note.kind).capitalize()}",
            text=note.text.strip(),
            age=f"written {day_words(note.day)}"
            + (
                f", to be looked at again after {day_words(note.review_after)}"
                if note.review_after
                else ""
            ),
            is_old=is_overdue(note, day, today, limits.confirmed_months),
        )
        for note in facts.notes
    ]
    return tuple(lines)


def refuge_lines(
    dossier: Dossier, facts: TripFacts, limits: Limits
) -> tuple[AgedLine, ...]:
    """Every refuge of the location; those that the trip's crossings name come first."""
    named = {walk.refuge.id for walk in facts.walks if walk.refuge is not None}
    ordered = sorted(dossier.refuges, key=lambda refuge: refuge.id not in named)
    day, today = facts.trip.day, _today(facts)
    return tuple(
        AgedLine(
            name=refuge.name,
            text=_joined(_dry(refuge), " · ".join(position_texts(refuge.position)),
                         refuge.notes),
            age=_confirmed(refuge.confirmed),
            is_old=is_overdue(refuge, day, today, limits.confirmed_months),
        )
        for refuge in ordered
    )  # fmt: skip


def way_out(facts: TripFacts, checklist: Checklist, tell: Teller) -> tuple[Fact, ...]:
    """The walks after the last stop, and what limits them."""
    return tuple(_way_out(facts, checklist, tell))


def meetings(facts: TripFacts, settings: Settings) -> tuple[Meeting, ...]:
    """Where the car stands and where one meets, each with its code; each once."""
    places = (
        ("start", facts.start_place),
        ("end", facts.end_place),
        ("meeting point", facts.meeting_place),
    )
    found: dict[object, tuple[list[str], StartPlace]] = {}
    for role, place in places:
        if place is not None:
            found.setdefault(place.id, ([], place))[0].append(role)
    made = [
        _meeting(
            place.name,
            f"{', '.join(roles)}; {start_place_text(place, settings)}",
            place.position,
            place.notes.strip(),
        )
        for roles, place in found.values()
    ]
    first = next((walk for walk in facts.walks if walk.leg is not None), None)
    if facts.start_place is None and first is not None and first.leg is not None:
        line = first.leg.line
        begin = line[-1] if first.walk.is_reversed else line[0]
        made.insert(
            0,
            _meeting(
                f"Where “{first.leg.name}” begins",
                "start of the first walk; no car park was chosen",
                begin,
                "",
            ),
        )
    return tuple(made)


def geo_uri(position: Position) -> str:
    """The address of a position, in WGS 84.  Source: RFC 5870."""
    return "geo:" + decimal_text(position).replace(" ", "")


def _meeting(name: str, what: str, position: Position, notes: str) -> Meeting:
    return Meeting(
        name=name,
        what=what,
        position=position,
        texts=(*position_texts(position), decimal_text(position)),
        uri=geo_uri(position),
        notes=notes,
    )


def _way_out(facts: TripFacts, checklist: Checklist, tell: Teller) -> Iterator[Fact]:
    leave = max((stop.stop.leave for stop in facts.stops), default=None)
    walks = [
        walk for walk in facts.walks if leave is not None and walk.walk.start >= leave
    ]
    last = max(facts.stops, key=lambda stop: stop.stop.leave, default=None)
    by = leave_by(checklist, last) if last is not None else None
    if last is not None:
        yield _known(f"Leave {last.name} by", tell.by(by) if by is not None else "")
    if walks:
        yield Fact("After the last stop", ", then ".join(_leg(w, tell) for w in walks))
    else:
        yield Fact(
            "After the last stop", f"{NOT_KNOWN}: no walk back is planned", False
        )
    is_planned = bool(facts.stops or facts.walks)
    yield _known("Off foot", tell.at(facts.span.stop) if is_planned else "")
    for name, word in (
        (EventName.SUNSET, "Sunset"),
        (EventName.CIVIL_DUSK, "Civil dusk"),
    ):
        times = [tell.at(e.instant) for e in facts.sun_events if e.name is name]
        yield _known(word, ", ".join(times), "does not occur that day")
    lights = facts.trip.lights
    yield _known(
        "Lights carried", "" if lights is None else count_text(lights, "light")
    )


def _leg(walk: WalkFacts, tell: Teller) -> str:
    back = " back" if walk.walk.is_reversed else ""
    length = duration_text(-(-walk.needed // _MINUTE) * _MINUTE)
    away = f", {distance_text(walk.leg.length_m, tell.settings)}" if walk.leg else ""
    refuge = f", refuge {walk.refuge.name}" if walk.refuge else ""
    return f"{walk.name}{back} ({tell.at(walk.walk.start)}, {length}{away}{refuge})"


def _known(name: str, text: str, otherwise: str = NOT_KNOWN) -> Fact:
    return Fact(name, text or otherwise, is_known=bool(text))


def _hazard_text(hazard: Hazard, settings: Settings) -> str:
    parts = [str(hazard.kind)]
    is_cliff = hazard.kind in (HazardKind.CLIFF_EDGE, HazardKind.CLIFF_FOOT)
    if hazard.height_m is not None:
        parts.append(f"{height_text(hazard.height_m, settings, 0)} high")
    elif is_cliff:
        parts.append(f"height {NOT_KNOWN}")
    if hazard.is_fenced is not None:
        parts.append(_FENCES[hazard.is_fenced])
    elif hazard.kind is HazardKind.CLIFF_EDGE:
        parts.append(f"whether it is fenced is {NOT_KNOWN}")
    if hazard.is_soft:
        parts.append("soft or undercut")
    elif hazard.is_soft is None and is_cliff:
        parts.append(f"whether it is soft is {NOT_KNOWN}")
    return _joined(", ".join(parts), hazard.applies, hazard.notes)


def _dry(refuge: Refuge) -> str:
    match refuge.stays_dry:
        case True:
            return "stays dry above the highest tide and surge"
        case False:
            return "does NOT stay dry at the highest tide"
        case None:
            return f"whether it stays dry is {NOT_KNOWN}"


def _confirmed(day: date | None) -> str:
    return "never confirmed" if day is None else f"confirmed {day_words(day)}"


def _joined(*texts: str) -> str:
    return "; ".join(text.strip().rstrip(".;") for text in texts if text.strip())


def _today(facts: TripFacts) -> date:
    return local_date(facts.now, facts.location.zone)
