"""An invented place, and a plain loop to hold conditions against."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta

from fieldtrip.geo import Position, destination
from fieldtrip.places.records import Location, Subject, VantagePoint
from fieldtrip.times import Span
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.situation import Answer, Situation, situation_of

ZONE = "Europe/Dublin"
HERE = Position(49.6, -8.4)
LOCATION = Location(name="Invented strand", position=HERE, zone=ZONE)
VANTAGE = VantagePoint(
    location_id=LOCATION.id, name="Ledge", position=HERE, ground_m=6.0
)
TOWER = Subject(
    location_id=LOCATION.id,
    name="Tower",
    position=destination(HERE, 250.0, 900.0),
    height_m=14.0,
    ground_m=21.0,
)
# Around the end of summer time, with dark evenings and a Moon that changes.
SPAN = Span(datetime(2027, 10, 28, 5, tzinfo=UTC), datetime(2027, 11, 3, tzinfo=UTC))


def situation(span: Span = SPAN, dossier: Dossier | None = None) -> Situation:
    """The invented place over a span."""
    return situation_of(
        dossier or Dossier(location=LOCATION),
        span,
        vantage_point=VANTAGE,
        subject=TOWER,
    )


def assert_as_in_a_plain_loop(
    answer: Answer,
    is_wanted: Callable[[datetime], bool | None],
    span: Span = SPAN,
    step: timedelta = timedelta(minutes=13),
) -> None:
    """Every step of a span is in the answer as a plain look at it says.

    Not where the look changes within two seconds, where either may be right.
    """
    seen: dict[bool | None, int] = {True: 0, False: 0, None: 0}
    instant, blink = span.start + timedelta(seconds=3), timedelta(seconds=2)
    while instant < span.stop - blink:
        looks = {is_wanted(instant + k * blink) for k in (-1, 0, 1)}
        if len(looks) == 1:
            (look,) = looks
            seen[look] += 1
            holds = any(each.contains(instant) for each in answer.holds)
            unknown = any(each.contains(instant) for each in answer.unknown)
            found = None if unknown else holds
            assert found == look, f"{instant}: {found} instead of {look}"
        instant += step
    assert sum(count > 0 for count in seen.values()) > 1, "a loop that saw no change"


def day(text: str) -> date:
    """A date."""
    return date.fromisoformat(text)
