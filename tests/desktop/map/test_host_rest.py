"""Rests grow with each trouble, and are as long as a server asks."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from fieldtrip.desktop.map.host_rest import HostRest, asked_rest_s

HOST = "tiles.example"


class Clock:
    """Seconds that pass only when a test says so."""

    now_s = 0.0

    def __call__(self) -> float:
        """Tell them."""
        return self.now_s


def test_each_trouble_in_a_row_doubles_the_rest_up_to_ten_minutes() -> None:
    clock = Clock()
    rest = HostRest(clock)

    rests = []
    for _ in range(9):
        rests.append(rest.take_trouble(HOST))
        assert rest.is_resting(HOST)
        clock.now_s += rests[-1]
        assert not rest.is_resting(HOST)

    assert rests == [5.0, 10.0, 20.0, 40.0, 80.0, 160.0, 320.0, 600.0, 600.0]


def test_trouble_from_what_was_under_way_adds_nothing() -> None:
    clock = Clock()
    rest = HostRest(clock)
    rest.take_trouble(HOST)
    clock.now_s += 1.0

    assert rest.take_trouble(HOST) == 4.0
    clock.now_s += 4.0
    assert rest.take_trouble(HOST) == 10.0


def test_a_server_that_asks_for_more_gets_more() -> None:
    rest = HostRest(Clock())
    rest.take_trouble(HOST)

    assert rest.take_trouble(HOST, 3600.0) == 3600.0
    assert rest.take_trouble(HOST, 1.0) == 3600.0
    assert HostRest(Clock()).take_trouble(HOST, 10.0**9) == 86_400.0


def test_a_good_answer_is_a_new_start_and_hosts_are_apart() -> None:
    rest = HostRest(Clock())
    rest.take_trouble(HOST)

    assert rest.is_suspect(HOST)
    assert not rest.is_resting("other.example")
    rest.take_answer(HOST)
    assert not rest.is_resting(HOST)
    assert not rest.is_suspect(HOST)
    assert rest.take_trouble(HOST) == 5.0


@pytest.mark.parametrize(
    ("header", "seconds"),
    [
        # Source: RFC 9110, section 10.2.3, both forms and their examples.
        ("120", 120.0),
        ("Fri, 31 Dec 1999 23:59:59 GMT", 59.0),
        ("Fri, 31 Dec 1999 23:00:00 GMT", 0.0),
        ("", None),
        ("soon", None),
        ("-5", None),
        ("1e9", None),
        ("١٢", None),
        ("9" * 400, 999_999_999.0),
    ],
)
def test_retry_after_is_seconds_or_a_date(header: str, seconds: float | None) -> None:
    now = datetime(1999, 12, 31, 23, 59, 0, tzinfo=UTC)

    assert asked_rest_s(header, now) == seconds
