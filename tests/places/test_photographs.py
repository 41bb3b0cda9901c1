"""What is wrong with a reference photograph."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

import pytest

from fieldtrip.places.photographs import LARGEST_BYTES, Photograph

SOUND = Photograph(
    location_id=uuid4(),
    vantage_point_id=uuid4(),
    caption="At low water",
    jpeg=b"\xff\xd8\xff\xe0" + bytes(20),
    taken=datetime(2026, 5, 3, 16, 20, tzinfo=UTC),
)


def test_a_sound_one_has_no_faults_whether_its_time_is_known_or_not() -> None:
    assert SOUND.faults() == []
    assert replace(SOUND, taken=None, caption="").faults() == []


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"jpeg": b"\x89PNG"}, "kept as JPEG"),
        ({"jpeg": b"\xff\xd8\xff" + bytes(LARGEST_BYTES)}, "at most 100 kB"),
        ({"caption": "x" * 201}, "at most 200 characters"),
        ({"taken": datetime(2026, 5, 3)}, "must say its zone"),  # noqa: DTZ001
    ],
)
def test_what_is_wrong_is_said(wrong: dict[str, Any], said: str) -> None:
    faults = replace(SOUND, **wrong).faults()

    assert len(faults) == 1
    assert said in faults[0]
