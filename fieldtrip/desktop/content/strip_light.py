"""The strip's Light column: bands of light and the times written on their lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from fieldtrip.almanac.sky_site import EVENT_WORDS
from fieldtrip.almanac.spot_light import SpotLight
from fieldtrip.settings import Settings
from fieldtrip.sky.events import DayEvents, EventName
from fieldtrip.sky.light import Light, LightBand
from fieldtrip.times import Span
from fieldtrip.wording import clock_text

# Names of bands too narrow for the whole one.
_SHORT = {
    Light.NAUTICAL: "nautical",
    Light.ASTRONOMICAL: "astronomical",
    Light.BLUE_HOUR: "blue",
    Light.GOLDEN_HOUR: "golden",
}
_DARKEST_LAST = tuple(reversed(Light))
# What is written first where there is not room for all.
_IMPORTANCE = (
    (EventName.SUNRISE, EventName.SUNSET),
    (EventName.MOONRISE, EventName.MOONSET),
    (EventName.CIVIL_DAWN, EventName.CIVIL_DUSK),
    (EventName.SOLAR_NOON,),
    (EventName.GOLDEN_HOUR_START, EventName.GOLDEN_HOUR_END),
    (EventName.NAUTICAL_DAWN, EventName.NAUTICAL_DUSK),
    (EventName.ASTRONOMICAL_DAWN, EventName.ASTRONOMICAL_DUSK),
)
_SPOT_IMPORTANCE = 1
_SAME_EVENT = timedelta(minutes=3)
_MOON = (EventName.MOONRISE, EventName.MOONSET)
_SUN = (EventName.SUNRISE, EventName.SUNSET)


@dataclass(frozen=True, slots=True)
class LightSpan:
    """One kind of light, with its name in long and in short."""

    span: Span
    text: str
    short: str
    depth: int  # 0 day, 1 golden hour, to 5 night


@dataclass(frozen=True, slots=True)
class LightMark:
    """A time on its line; `texts` from the longest to the shortest wording."""

    instant: datetime
    texts: tuple[str, ...]
    importance: int  # 0 is written first
    is_sun: bool  # rise or set: a strong line
    is_moon: bool  # a dotted one
    is_spot: bool = False  # at the spot itself: a dashed one


@dataclass(frozen=True, slots=True)
class LightColumn:
    """Everything the Light column shows."""

    bands: tuple[LightSpan, ...] = ()
    marks: tuple[LightMark, ...] = ()  # the most important first
    message: str = ""
    foot: tuple[str, ...] = ()


def light_column(
    bands: Sequence[LightBand],
    events: DayEvents,
    zone: str,
    settings: Settings,
    seen: str,
    lights: Sequence[SpotLight] = (),
) -> LightColumn:
    """Put a day's light into words; `seen` says from where.

    `lights` are of spots whose skyline is known.
    """
    spans = tuple(
        LightSpan(
            Span(band.start, band.stop),
            str(band.light),
            _SHORT.get(band.light, str(band.light)),
            _DARKEST_LAST.index(band.light),
        )
        for band in bands
    )
    marks: list[LightMark] = []
    for importance, names in enumerate(_IMPORTANCE):
        for event in events.events:
            if event.name in names:
                clock = clock_text(event.instant, zone, settings)
                words = EVENT_WORDS[event.name]
                marks.append(
                    LightMark(
                        event.instant,
                        _texts(event.name, clock, words),
                        importance,
                        event.name in _SUN,
                        event.name in _MOON,
                    )
                )
    for light in lights:
        marks += _spot_marks(light, zone, settings)
    marks.sort(key=lambda mark: mark.importance)
    return LightColumn(spans, tuple(marks), foot=_foot(events, seen))


def _spot_marks(light: SpotLight, zone: str, settings: Settings) -> list[LightMark]:
    """When the Sun comes to a spot over its skyline, and leaves it."""
    found = []
    name = light.spot.name
    sun = light.found.sun
    almanac = (*sun.almanac_rises, *sun.almanac_sets)
    for appearance in light.found.sun.appearances:
        for time, verb in ((appearance.rise, "reaches"), (appearance.set, "leaves")):
            if time is None or any(
                abs(time.instant - known) < _SAME_EVENT for known in almanac
            ):
                continue  # the almanac's own line says it
            clock = clock_text(time.instant, zone, settings)
            words = f"{clock} sun {verb} {name}"
            short = f"{clock} sun {verb}"
            found.append(
                LightMark(
                    time.instant,
                    (words, f"{short}\n{name}", short, clock),
                    _SPOT_IMPORTANCE,
                    is_sun=False,
                    is_moon=False,
                    is_spot=True,
                )
            )
    return found


def _texts(name: EventName, clock: str, words: str) -> tuple[str, ...]:
    if name in (EventName.GOLDEN_HOUR_START, EventName.GOLDEN_HOUR_END):
        return (clock,)  # the band beside it carries the name
    if name in _MOON or name in _SUN:
        return (f"{clock} {words}", f"{clock}\n{words}")
    return (f"{clock} {words}", clock)


def _foot(events: DayEvents, seen: str) -> tuple[str, ...]:
    lines = [seen]
    if events.sun_always == "up":
        lines.append("The Sun does not set on this day.")
    elif events.sun_always == "down":
        lines.append("The Sun does not rise on this day.")
    lines += [
        f"No {EVENT_WORDS[name]} on this day."
        for name in _MOON
        if name in events.missing
    ]
    return tuple(lines)
