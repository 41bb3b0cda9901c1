"""An invented coast to send out and take in, and any coast at all."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time
from typing import Any

from hypothesis import strategies as st

from fieldtrip.geo import Position
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Closure,
    ClosureKind,
    Ground,
    Hazard,
    HazardKind,
    Leg,
    Location,
    NoteKind,
    Refuge,
    Shape,
    StartKind,
    StartPlace,
    Subject,
    VantagePoint,
)
from fieldtrip.places.seasons import MonthDay, OpenHours, Season
from fieldtrip.trips.dossier import Dossier

ANVIL = Location(
    name="Anvil Strand",
    position=Position(49.62, -8.42),
    zone="Europe/Dublin",
    notes="Best on a low spring tide.\nQuiet.",
)
ROCK = VantagePoint(
    location_id=ANVIL.id,
    name="Flat rock",
    position=Position(49.621, -8.421),
    position_error_m=4.0,
    ground_m=3.25,
    eye_height_m=1.4,
    on_headland=True,
    notes='Mind <the> step & "sill".',
)
TOWER = Subject(
    location_id=ANVIL.id, name="Tower", position=Position(49.623, -8.425), height_m=14.0
)
LEDGE = Refuge(
    location_id=ANVIL.id,
    name="Dry ledge",
    position=Position(49.622, -8.424),
    stays_dry=True,
    confirmed=date(2026, 4, 2),
)
QUAY = StartPlace(
    location_id=ANVIL.id,
    name="Quay car park",
    kind=StartKind.CAR_PARK,
    position=Position(49.619, -8.418),
    hours=OpenHours(time(6, 30), time(21)),
    notes="A coin for the barrier.",
)
WAY = AccessRoute(location_id=ANVIL.id, name="Over the bar", notes="Two legs.")
PATH = Leg(
    route_id=WAY.id,
    number=1,
    name="Path",
    line=(ANVIL.position, Position(49.6205, -8.4206)),
    ground=Ground.PATH,
    is_tidal=False,
    walked_in_daylight=True,
)
BAR = Leg(
    route_id=WAY.id,
    number=2,
    name="Bar",
    line=(Position(49.6205, -8.4206), ROCK.position),
    ground=Ground.BOULDERS,
    is_tidal=True,
    shut_above_m=1.25,
    shut_datum="chart datum",
    refuge_id=LEDGE.id,
)
EDGE = Hazard(
    location_id=ANVIL.id,
    name="North edge",
    kind=HazardKind.CLIFF_EDGE,
    shape=Shape.LINE,
    line=(Position(49.63, -8.43), Position(49.631, -8.431)),
    is_fenced=False,
    height_m=40.0,
    last_confirmed=date(2026, 3, 3),
)
MUD = Hazard(
    location_id=ANVIL.id,
    name="Mud",
    kind=HazardKind.SOFT_GROUND,
    shape=Shape.AREA,
    line=(Position(49.61, -8.41), Position(49.61, -8.40), Position(49.615, -8.405)),
)
WEED = Hazard(
    location_id=ANVIL.id,
    name="Weed",
    kind=HazardKind.SLIPPERY,
    shape=Shape.POINT,
    line=(Position(49.612, -8.412),),
    applies="after rain",
)
NOTE = AccessNote(
    location_id=ANVIL.id,
    day=date(2026, 3, 1),
    kind=NoteKind.PARKING,
    text="Two cars at most.",
    review_after=date(2027, 3, 1),
)


TERNS = Closure(
    location_id=ANVIL.id,
    name="Terns",
    kind=ClosureKind.NESTING,
    season=Season(MonthDay(5, 1), MonthDay(7, 31)),
    line=MUD.line,
    source="a notice at the stile",
    last_confirmed=date(2026, 4, 4),
    notes="Keep off.",
)
GATE = Closure(
    location_id=ANVIL.id,
    name="Gate",
    kind=ClosureKind.HOURS,
    hours=OpenHours(time(8, 30), time(20, 0)),
    shape=Shape.POINT,
    line=(Position(49.6195, -8.4195),),
)
WORKS = Closure(
    location_id=ANVIL.id,
    name="Sea wall",
    kind=ClosureKind.WORKS,
    first_day=date(2026, 10, 1),
    shape=Shape.LINE,
)


def whole_coast() -> Dossier:
    """One of everything that goes out."""
    return Dossier(
        location=ANVIL,
        vantage_points=(ROCK,),
        subjects=(TOWER,),
        routes=(WAY,),
        legs=(PATH, BAR),
        refuges=(LEDGE,),
        start_places=(QUAY,),
        hazards=(EDGE, MUD, WEED),
        notes=(NOTE,),
        closures=(GATE, WORKS, TERNS),
    )


# What XML can hold, but for what its readers must change (a test of its own).
TEXTS = st.one_of(
    st.text(
        st.characters(
            exclude_categories=["Cs", "Cc"], exclude_characters="\ufffe\uffff"
        )
    ),
    st.sampled_from(
        [
            "",
            "<b>bold</b> & <script>alert(1)</script>",
            "]]> <![CDATA[ &amp;lt; &#13;",
            "line\r\nline\rline\n\tend ",
            "cafe\u0301, caf\u00e9, \u202e\u05e9\u05dc\u05d5\u05dd",
            "\U0001f468\u200d\U0001f469 \U0001f3f4",
        ]
    ),
)
NAMES = TEXTS.map(lambda text: f"{text[:150]} x")
# The schema of GPX has no meridian of 180; it is the same as -180.
LONGITUDES = st.floats(-180.0, 180.0, exclude_max=True).map(lambda x: x + 0.0)
POSITIONS = st.builds(
    Position, st.floats(-90.0, 90.0).map(lambda x: x + 0.0), LONGITUDES
)
LINES = st.lists(POSITIONS, min_size=3, max_size=6, unique=True).map(tuple)
MAYBE = st.one_of(st.none(), st.booleans())
METRES = st.one_of(st.none(), st.floats(0.0, 900.0))


def _hazards(line: Any, shape: Shape, kind: HazardKind, name: str) -> Hazard:
    least = {Shape.POINT: line[:1]}.get(shape, line)
    return replace(WEED, name=name, line=least, shape=shape, kind=kind)


@st.composite
def coasts(draw: st.DrawFn) -> Dossier:
    """Any location with a few of each kind."""
    location = replace(
        ANVIL, name=draw(NAMES), position=draw(POSITIONS), notes=draw(TEXTS)
    )
    rock = replace(
        ROCK,
        name=draw(NAMES),
        position=draw(POSITIONS),
        notes=draw(TEXTS),
        ground_m=draw(METRES),
        position_error_m=draw(METRES),
        on_headland=draw(st.none() | st.booleans()),
    )
    tower = replace(TOWER, name=draw(NAMES), position=draw(POSITIONS))
    way = replace(WAY, name=draw(NAMES), notes=draw(TEXTS))
    legs = tuple(
        replace(
            BAR,
            number=number,
            name=draw(NAMES),
            line=draw(LINES),
            is_tidal=draw(MAYBE),
            is_exposed=draw(MAYBE),
            ascent_m=draw(METRES),
            ground=draw(st.sampled_from(Ground)),
        )
        for number in range(1, draw(st.integers(0, 3)) + 1)
    )
    hazards = draw(
        st.lists(
            st.builds(
                _hazards,
                LINES,
                st.sampled_from(Shape),
                st.sampled_from(HazardKind),
                NAMES,
            ),
            max_size=3,
        )
    )
    notes = draw(
        st.lists(TEXTS.map(lambda t: replace(NOTE, text=f"{t} x")), max_size=2)
    )
    return Dossier(
        location=location,
        vantage_points=(rock,),
        subjects=(tower,),
        routes=(way,),
        legs=legs,
        refuges=(replace(LEDGE, name=draw(NAMES), notes=draw(TEXTS)),),
        hazards=tuple(hazards),
        notes=tuple(notes),
    )
