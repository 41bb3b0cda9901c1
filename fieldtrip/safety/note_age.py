"""Hazards and access notes that nobody has looked at for long."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from fieldtrip.places.records import AccessNote, Hazard
from fieldtrip.safety.finding import Finding, Number, Reason, Remedy, Rule, Severity
from fieldtrip.safety.freshness import (
    confirmed_day,
    day_words,
    is_overdue,
    is_review_past,
)
from fieldtrip.safety.gaps import does_not_apply
from fieldtrip.safety.limits import SOURCE_NOTE_AGE, Limits
from fieldtrip.times import local_date
from fieldtrip.trips.plan import TripFacts

_LONGEST_NAME = 40  # letters of an access note's first line


def note_age(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for the hazards that are old, and one for such access notes.

    Held against the day of the trip; a note is old too once its review date has
    passed.
    """
    if not facts.hazards and not facts.notes:
        return (does_not_apply(Rule.NOTE_AGE, facts, SOURCE_NOTE_AGE),)
    found = []
    for about, reason, records in (
        ("hazards", Reason.HAZARDS_OLD, facts.hazards),
        ("access notes", Reason.NOTES_OLD, facts.notes),
    ):
        old = _overdue(records, facts, limits)
        if old:
            found.append(_finding(facts, limits, about, reason, old))
    return tuple(found) or (_finding(facts, limits, "", Reason.ALL_CONFIRMED, ()),)


def _overdue(
    records: Sequence[Hazard | AccessNote], facts: TripFacts, limits: Limits
) -> list[str]:
    day, today = facts.trip.day, local_date(facts.now, facts.location.zone)
    return [
        f"{_name(record)} ({_since(record, day, today)})"
        for record in records
        if is_overdue(record, day, today, limits.confirmed_months)
    ]


def _finding(
    facts: TripFacts, limits: Limits, about: str, reason: Reason, old: Sequence[str]
) -> Finding:
    return Finding(
        rule=Rule.NOTE_AGE,
        about=about,
        about_id=None,
        severity=Severity.CAUTION if old else Severity.CLEAR,
        reason=reason,
        remedy=Remedy.CONFIRM_AGAIN if old else Remedy.NOTHING,
        source=SOURCE_NOTE_AGE,
        basis="; ".join(old),
        numbers=(Number("confirmed_within", limits.confirmed_months, "months", True),),
        span=facts.span,
        stands_for=about.replace(" ", "_"),
    )


def _name(record: Hazard | AccessNote) -> str:
    if isinstance(record, Hazard):
        return record.name
    line = record.text.strip().partition("\n")[0]
    short = line if len(line) <= _LONGEST_NAME else f"{line[: _LONGEST_NAME - 1]}…"
    return f"“{short}”"


def _since(record: Hazard | AccessNote, day: date, today: date) -> str:
    confirmed = confirmed_day(record)
    if confirmed is None:
        return "never confirmed"
    if confirmed > today:
        return f"dated {day_words(confirmed)}, a day still to come"
    if isinstance(record, Hazard):
        return f"last on {day_words(confirmed)}"
    if is_review_past(record, day) and record.review_after is not None:
        return (
            f"of {day_words(confirmed)}, to be looked at again after "
            f"{day_words(record.review_after)}"
        )
    return f"of {day_words(confirmed)}"
