"""Tests for what the person who waits is told."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from fieldtrip.phrasing import CAUTIONS
from fieldtrip.places.records import Coverage, StartKind, StartPlace
from fieldtrip.reports.return_plan import UNKNOWN, ReturnPlan, return_plan
from fieldtrip.safety.finding import Severity
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.records import Gate, GateKind, Tick
from tests.safety.story import CLEAR, LEG, LOCATION, NOW, TRIP, Story, at

QUAY = StartPlace(
    location_id=LOCATION.id,
    name="The quay",
    kind=StartKind.CAR_PARK,
    position=LOCATION.position,
    is_always_open=True,
)
GATE = Gate(
    trip_id=TRIP.id,
    number=1,
    name="Edge of the bar",
    kind=GateKind.LEG,
    leg_id=LEG.id,
    must_see="no swell",
    fallback="the south shore",
)
SAID: dict[str, Any] = {
    "start_place_id": QUAY.id,
    "car": "Blue van, plate 000-B-000",
    "alarm_with": "Coastguard",
    "kit": "two headlamps\n\n whistle ",
    "drive_back_min": 60.0,
}


def told(
    story: Story = CLEAR, settings: Settings | None = None, **trip: Any
) -> ReturnPlan:
    story = story.with_trip(**(SAID | trip))
    place = replace(LOCATION, coverage=Coverage.PATCHY, nearest_road="the shore road")
    dossier: Dossier = replace(
        story.dossier(), location=place, start_places=(QUAY,), gates=(GATE,)
    )
    return return_plan(dossier, story.trip, NOW, settings or Settings())


def test_it_says_where_until_when_and_with_whom() -> None:
    plan = told(settings=Settings(person="P. Hotographer"))

    facts = dict(plan.facts)
    assert facts["Who"] == "P. Hotographer, 1 person"
    assert facts["Where"].startswith("Grey Strand, 37.8")
    assert facts["Nearest road"] == "the shore road"
    assert facts["Starts from"].startswith("The quay, car park, never shuts, 37.8")
    assert facts["Car"] == "Blue van, plate 000-B-000"
    assert facts["Back by plan"] == "08:10 on Sat 15 Aug 2026, PDT (UTC−7)"
    assert facts["Back at the latest"] == "09:00 on Sat 15 Aug 2026, PDT (UTC−7)"
    assert facts["Raise the alarm"] == "11:00 on Sat 15 Aug 2026, PDT (UTC−7)"
    assert facts["Home by plan"] == "09:10 on Sat 15 Aug 2026, PDT (UTC−7)"
    assert facts["Alarm with"] == "Coastguard"
    assert facts["Emergency number"] == "112; coverage at the car park"
    assert facts["Telephone coverage"] == "patchy"
    assert facts["Kit"] == "two headlamps, whistle"
    assert plan.missing == ()
    assert plan.subject == "Return plan: Morning on the bar, Saturday 15 August 2026"


def test_the_route_is_told_in_order_with_what_is_done_instead() -> None:
    plan = told()

    assert plan.route[0] == "07:30 to 07:40: walk over The bar"
    assert plan.route[1].startswith("07:45 to 07:55: at The step, 37.8")
    assert plan.route[2] == "08:00 to 08:10: walk back over The bar"
    assert plan.route[3] == "If “Edge of the bar” says no: the south shore"


def test_the_reader_is_told_what_to_do_and_when() -> None:
    first, second, third = told().steps

    assert first.startswith("Expect word from us by 09:00 on Sat 15 Aug 2026")
    assert second == (
        "Still nothing at 11:00 on Sat 15 Aug 2026, PDT (UTC−7): call Coastguard "
        "(emergency number: 112; coverage at the car park) and read them this plan."
    )
    assert "alone" in third


@pytest.mark.parametrize(
    ("changes", "name"),
    [
        ({"car": " "}, "Car"),
        ({"alarm_with": ""}, "Alarm with"),
        ({"emergency": ""}, "Emergency number"),
        ({"latest_return": None}, "Back at the latest"),
        ({"raise_alarm": None}, "Raise the alarm"),
    ],
)
def test_what_is_not_known_is_said_and_never_blank(
    changes: dict[str, Any], name: str
) -> None:
    plan = told(**changes)

    assert plan.missing == (name,)
    assert dict(plan.facts)[name] == UNKNOWN
    assert f"{name}: not known\n" in plan.text
    assert not any(line.endswith(": ") for line in plan.text.splitlines())


def test_without_times_the_reader_is_told_to_ask() -> None:
    first, second, _ = told(latest_return=None, raise_alarm=None).steps

    assert "ask us before we leave" in first
    assert "ask us before we leave" in second
    assert "Coastguard" in second


def test_the_place_gives_the_emergency_number_where_the_trip_has_none() -> None:
    story = CLEAR.with_trip(**(SAID | {"emergency": ""}))
    place = replace(LOCATION, emergency="999, coastguard")
    dossier = replace(story.dossier(), location=place, start_places=(QUAY,))

    plan = return_plan(dossier, story.trip, NOW, Settings())

    assert dict(plan.facts)["Emergency number"] == "999, coastguard"


def test_an_empty_plan_says_so() -> None:
    plan = told(replace(CLEAR, stops=(), walks=()))

    assert plan.route == ("If “Edge of the bar” says no: the south shore",)
    assert dict(plan.facts)["Out from"] == UNKNOWN


def test_the_cautions_and_the_worst_of_the_checks_go_along() -> None:
    plan = told()

    assert all(caution in plan.text for caution in CAUTIONS)
    assert dict(plan.facts)["Checks"]


def test_what_was_overruled_is_printed_and_stays_a_stop() -> None:
    story = replace(CLEAR, ticks=()).with_trip(lights=1)
    late = replace(story.walks[0], start=at(4, 0, 16), finish=at(4, 10, 16))
    story = replace(story, walks=(late,), stops=())
    tick = Tick(
        trip_id=TRIP.id, item="two_lights", at=NOW, by="Ann", reason="moon & torch"
    )

    plan = told(replace(story, ticks=(tick,)))

    checks = dict(plan.facts)["Checks"]
    assert checks.startswith("Stop")
    assert f"({Severity.STOP}) overruled by Ann: “moon & torch”." in checks


def test_a_time_after_midnight_names_its_own_day() -> None:
    plan = told(raise_alarm=at(8, 30, 16))

    assert dict(plan.facts)["Raise the alarm"] == (
        "01:30 on Sun 16 Aug 2026, PDT (UTC−7)"
    )


def test_the_zone_is_that_of_each_time_when_the_clock_changes() -> None:
    # Source: the Energy Policy Act of 2005: summer time ends on 1 November 2026, at
    # 09:00 UTC there.
    plan = told(
        day=date(2026, 11, 1),
        latest_return=datetime(2026, 11, 1, 8, 30, tzinfo=UTC),
        raise_alarm=datetime(2026, 11, 1, 9, 30, tzinfo=UTC),
    )

    facts = dict(plan.facts)
    assert facts["Back at the latest"] == "01:30 on Sun 1 Nov 2026, PDT (UTC−7)"
    assert facts["Raise the alarm"] == "01:30 on Sun 1 Nov 2026, PST (UTC−8)"


def test_hostile_text_stays_as_it_was_typed() -> None:
    hostile = "<script>x</script> {0} %s & “quotes”"

    plan = told(car=hostile, alarm_with=hostile)

    assert dict(plan.facts)["Car"] == hostile
    assert hostile in plan.text
