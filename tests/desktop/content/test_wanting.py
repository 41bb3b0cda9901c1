"""The sentences with blanks, in which conditions are written."""

from __future__ import annotations

from dataclasses import fields
from typing import get_args
from uuid import uuid4

import pytest

from fieldtrip.desktop.content.wanting import (
    Blank,
    Called,
    Entry,
    Quantity,
    faults_of,
    offers,
    sentence_of,
    unit_of,
)
from fieldtrip.settings import LengthUnit, Settings, SpeedUnit
from fieldtrip.sky.bodies import Body
from fieldtrip.trips.wanted import (
    Alignment,
    Condition,
    LightFrom,
    LightSide,
    SunBand,
)

CALLED = Called(
    routes=((uuid4(), "Bar"),), trips=((uuid4(), "Evening"),), has_subject=True
)


def test_every_kind_of_condition_is_offered_once_and_sound() -> None:
    kinds = [type(offer.usual) for offer in offers(CALLED)]

    assert sorted(kind.__name__ for kind in kinds) == sorted(
        kind.__name__ for kind in get_args(Condition)
    )
    assert faults_of([offer.usual for offer in offers(CALLED)], CALLED) == []


def test_what_needs_a_trip_is_offered_where_there_is_one() -> None:
    assert len(offers(Called())) == len(offers(CALLED)) - 1


@pytest.mark.parametrize("offer", offers(CALLED), ids=lambda offer: offer.words)
def test_a_sentence_has_a_blank_for_each_field(offer: object) -> None:
    usual = offer.usual  # type: ignore[attr-defined]

    blanks = [p for p in sentence_of(usual, CALLED) if isinstance(p, Blank)]

    assert sorted(blank.name for blank in blanks) == sorted(
        f.name for f in fields(usual)
    )
    for blank in blanks:
        assert blank.says
        if blank.entry is Entry.CHOICE:
            offered = [value for value, _ in blank.choices]
            assert getattr(usual, blank.name) in offered


def test_above_the_top_no_lower_altitude_is_asked_for() -> None:
    over = Alignment(body=Body.SUN, over_top=True)

    names = [p.name for p in sentence_of(over, CALLED) if isinstance(p, Blank)]

    assert "altitude_min_deg" not in names
    assert "altitude_max_deg" in names


def test_what_needs_a_subject_says_so_where_there_is_none() -> None:
    conditions = (LightFrom(side=LightSide.BACK), Alignment(body=Body.MOON))

    assert faults_of(conditions, Called()) == [
        "The side of the light needs a subject: choose one.",
        "An alignment without a bearing needs a subject: choose one.",
    ]
    assert faults_of(conditions, CALLED) == []


def test_limits_the_wrong_way_round_are_a_fault() -> None:
    (fault,) = faults_of((SunBand(low_deg=4.0, high_deg=-4.0),), CALLED)

    assert "below the upper" in fault


def test_blanks_are_in_the_users_units() -> None:
    settings = Settings(length_unit=LengthUnit.FOOT, speed_unit=SpeedUnit.KNOT)

    assert unit_of(Quantity.HEIGHT, settings) == ("ft", 0.3048)
    unit, factor = unit_of(Quantity.SPEED, settings)
    assert unit == "kn"
    assert factor == pytest.approx(1852 / 3600)  # the international nautical mile
