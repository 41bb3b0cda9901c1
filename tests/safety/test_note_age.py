"""What nobody has looked at for a year is a caution, and so is what rests on it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from fieldtrip.places.records import AccessNote, NoteKind
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Finding, Note, Reason, Remedy, Rule, Severity
from fieldtrip.safety.limits import Limits
from tests.safety.story import CLEAR, LOCATION, Story, at, edge_at

NOTE = AccessNote(
    location_id=LOCATION.id,
    day=date(2026, 5, 2),
    kind=NoteKind.WAY,
    text="The stile is broken.\nClimb the gate.",
)

# Common practice, no source: 12 months; the trip is on 15 August 2026.
LAST_GOOD_DAY, FIRST_OLD_DAY = date(2025, 8, 15), date(2025, 8, 14)


def of_age(story: Story) -> list[Finding]:
    return [f for f in check(story.facts()).findings if f.rule is Rule.NOTE_AGE]


def with_edge(confirmed: date | None, distance_m: float = 30.0) -> Story:
    return replace(CLEAR, edges=(edge_at(distance_m, last_confirmed=confirmed),))


@pytest.mark.parametrize(
    ("confirmed", "severity"),
    [
        (LAST_GOOD_DAY, Severity.CLEAR),
        (FIRST_OLD_DAY, Severity.CAUTION),
        (None, Severity.CAUTION),
        (date(2026, 8, 16), Severity.CAUTION),  # not yet: a slip of the pen
    ],
)
def test_a_hazard_is_known_for_a_year(
    confirmed: date | None, severity: Severity
) -> None:
    # Far away from the way: its age counts all the same.
    (finding,) = of_age(with_edge(confirmed, 400.0))

    assert finding.severity is severity
    assert ("West edge" in finding.basis) == (severity is Severity.CAUTION)


@pytest.mark.parametrize(
    ("changes", "severity"),
    [
        ({}, Severity.CLEAR),
        ({"day": LAST_GOOD_DAY}, Severity.CLEAR),
        ({"day": FIRST_OLD_DAY}, Severity.CAUTION),
        ({"review_after": date(2026, 8, 15)}, Severity.CLEAR),
        ({"review_after": date(2026, 8, 14)}, Severity.CAUTION),
        (
            {"day": FIRST_OLD_DAY, "review_after": date(2027, 1, 1)},
            Severity.CAUTION,
        ),
    ],
)
def test_an_access_note_is_good_for_a_year_or_until_its_review(
    changes: dict[str, Any], severity: Severity
) -> None:
    (finding,) = of_age(replace(CLEAR, notes=(replace(NOTE, **changes),)))

    assert finding.severity is severity
    assert ("The stile is broken." in finding.basis) == (severity is Severity.CAUTION)


def test_old_hazards_and_old_notes_have_one_finding_each() -> None:
    edges = (edge_at(30.0, last_confirmed=None), edge_at(90.0, name="East edge"))
    notes = (replace(NOTE, day=FIRST_OLD_DAY), replace(NOTE, review_after=NOTE.day))

    hazards, access = of_age(replace(CLEAR, edges=edges, notes=notes))

    assert (hazards.reason, access.reason) == (Reason.HAZARDS_OLD, Reason.NOTES_OLD)
    assert hazards.basis == "West edge (never confirmed)"
    assert access.basis == (
        "“The stile is broken.” (of 14 Aug 2025); “The stile is broken.” "
        "(of 2 May 2026, to be looked at again after 2 May 2026)"
    )
    assert hazards.key != access.key


def test_where_nothing_is_recorded_there_is_no_age() -> None:
    (finding,) = of_age(replace(CLEAR, edges=()))

    assert finding.severity is Severity.DOES_NOT_APPLY


@pytest.mark.parametrize(
    ("confirmed", "reason"),
    [
        (FIRST_OLD_DAY, Reason.EDGE_STALE),
        (None, Reason.EDGE_NEVER_CONFIRMED),
    ],
)
@pytest.mark.parametrize("is_fenced", [False, True])
def test_what_rests_on_an_old_edge_is_a_caution_at_best(
    confirmed: date | None, reason: Reason, is_fenced: bool
) -> None:
    edge = edge_at(30.0, last_confirmed=confirmed, is_fenced=is_fenced)
    story = replace(CLEAR, edges=(edge,))

    near, looked_for = story.found(Rule.CLIFF_EDGE), story.found(Rule.EDGE_LOOKED_FOR)

    assert (near.severity, near.reason) == (Severity.CAUTION, reason)
    assert near.remedy is Remedy.CONFIRM_AGAIN
    assert (Note.FENCE_OLD in near.notes) == is_fenced
    assert (looked_for.severity, looked_for.reason) == (
        Severity.CAUTION,
        Reason.EDGE_RECORD_OLD,
    )


def test_an_old_edge_takes_nothing_from_a_stop() -> None:
    edge = edge_at(2.0, last_confirmed=None, is_soft=True)

    finding = replace(CLEAR, edges=(edge,)).found(Rule.CLIFF_EDGE)

    assert (finding.severity, finding.reason) == (Severity.STOP, Reason.EDGE_SOFT)


def test_the_months_can_be_set_and_count_to_the_trip() -> None:
    story = with_edge(date(2026, 5, 2))

    (usual,) = of_age(story)
    shorter = story.found(Rule.NOTE_AGE, Limits(confirmed_months=3))
    later = replace(
        story, now=at(12, day=1), trip=replace(story.trip, day=date(2027, 5, 3))
    ).found(Rule.NOTE_AGE)

    assert usual.severity is Severity.CLEAR
    assert shorter.severity is Severity.CAUTION
    assert later.severity is Severity.CAUTION
