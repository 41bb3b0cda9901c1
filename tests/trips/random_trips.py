"""Small trips by chance, to hold the scheduler against trying everything."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from uuid import UUID

import numpy as np

from fieldtrip.times import Span
from fieldtrip.trips.question import LimitKind, OpenIn, Question, Way, WayKind, Wish

BASE = datetime(2027, 6, 5, 17, 0, tzinfo=UTC)
MINUTE = timedelta(minutes=1)
RESERVE = 10 * MINUTE


def random_question(seed: int) -> Question:
    """One to three stops within some hours, with tides, dark and pinned times."""
    chance = np.random.default_rng(seed)
    minutes = int(chance.integers(80, 150))
    span = Span(BASE + int(chance.integers(0, 7)) * MINUTE, BASE + minutes * MINUTE)
    places = int(chance.integers(3, 6))
    ways = _ways(chance, places, minutes)
    count = int(chance.integers(1, 4))
    wishes = tuple(_wish(chance, k, places, minutes) for k in range(count))
    has_start, has_finish = chance.random() < 0.9, chance.random() < 0.9
    dark_from = int(chance.integers(0, minutes * 2))
    dark = np.arange(minutes + 60) >= dark_from
    order: tuple[UUID, ...] = ()
    if chance.random() < 0.2:
        order = tuple(wish.id for wish in wishes[::-1])
    return Question(
        span=span,
        known=Span(span.start, span.stop + 60 * MINUTE),
        wishes=wishes,
        ways=ways,
        places=places,
        dark=dark,
        start=0 if has_start else None,
        finish=int(chance.integers(0, 2)) if has_finish else None,
        start_open=_open(chance, minutes, LimitKind.PARKING, 0.1),
        finish_open=_open(chance, minutes, LimitKind.PARKING, 0.2),
        has_latest_return=chance.random() < 0.9,
        order=order,
        break_min=float(chance.integers(0, 8)) if chance.random() < 0.3 else 0.0,
    )


def _ways(chance: np.random.Generator, places: int, minutes: int) -> tuple[Way, ...]:
    found = []
    pairs = [(k - 1, k) for k in range(1, places)]
    pairs += [
        (int(a), int(b))
        for a, b in chance.integers(0, places, size=(int(chance.integers(0, 4)), 2))
        if a != b
    ]
    for number, (a, b) in enumerate(pairs):
        limits: list[OpenIn] = []
        is_tidal = chance.random() < 0.4
        if is_tidal:
            limits.append(_spans(chance, minutes, LimitKind.TIDE, RESERVE))
        if chance.random() < 0.2:
            limits.append(_spans(chance, minutes, LimitKind.DAYLIGHT, 0 * MINUTE))
        leg_id = UUID(int=1000 + number)
        kind = WayKind.DRIVE if chance.random() < 0.1 else WayKind.LEG
        for start, stop in ((a, b), (b, a)):
            found.append(
                Way(
                    start=start,
                    stop=stop,
                    name=f"leg {number}",
                    minutes=float(chance.integers(1, 25)) - 0.4,
                    kind=kind,
                    leg_id=leg_id,
                    is_reversed=start == b,
                    limits=tuple(limits),
                    is_on_sands=is_tidal and chance.random() < 0.8,
                )
            )
    return tuple(found)


def _spans(
    chance: np.random.Generator, minutes: int, kind: LimitKind, reserve: timedelta
) -> OpenIn:
    """One or two spans, some of which last beyond the trip."""
    cuts = sorted(chance.integers(-60, minutes + 90, size=4).tolist())
    spans = [
        Span(BASE + a * MINUTE, BASE + b * MINUTE)
        for a, b in ((cuts[0], cuts[1]), (cuts[2], cuts[3]))
        if b > a
    ]
    if chance.random() < 0.5:
        spans = [Span(BASE - 99 * MINUTE, spans[-1].stop)] if spans else []
    return OpenIn(kind=kind, spans=tuple(spans), reserve=reserve)


def _open(
    chance: np.random.Generator, minutes: int, kind: LimitKind, share: float
) -> OpenIn | None:
    if chance.random() >= share:
        return None
    return _spans(chance, minutes, kind, 0 * MINUTE)


def _wish(chance: np.random.Generator, number: int, places: int, minutes: int) -> Wish:
    first = int(chance.integers(0, minutes - 30))
    length = int(chance.integers(10, 60))
    wanted = [Span(BASE + first * MINUTE, BASE + (first + length) * MINUTE)]
    if chance.random() < 0.3:
        later = first + length + int(chance.integers(5, 30))
        wanted.append(Span(BASE + later * MINUTE, BASE + (later + 20) * MINUTE))
    least = float(chance.choice([0.0, 5.0, 10.0, 12.0, 15.0]))
    pinned = None
    if chance.random() < 0.15:
        arrive = int(chance.integers(20, minutes - 20))
        pinned = Span(
            BASE + arrive * MINUTE,
            BASE + (arrive + int(chance.integers(0, 20))) * MINUTE,
        )
    dry = None
    if chance.random() < 0.25:
        dry = _spans(chance, minutes, LimitKind.FLOODED, RESERVE)
    return Wish(
        id=UUID(int=number + 1),
        name=f"stop {number + 1}",
        place=int(chance.integers(0, places)),
        wanted=tuple(wanted),
        is_must=chance.random() < 0.6,
        least_min=least,
        wish_min=least + float(chance.choice([0.0, 5.0, 10.0, 18.0])),
        setup_min=float(chance.choice([0.0, 5.0, 7.0])),
        pinned=pinned,
        dry=dry,
    )
