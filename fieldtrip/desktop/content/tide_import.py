"""What the window says in which tide files come in, and what they become."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime

import numpy as np

from fieldtrip.arrays import Array
from fieldtrip.desktop.content.tide_import_words import (
    CONSTANT_COLUMNS,
    RAW_COLUMNS,
    TIMED_COLUMNS,
    days_text,
    ends_of,
    fit_notes,
    fit_text,
    gap_doubt,
    layout_text,
    range_text,
    raw_rows,
    row_of,
    some_of,
    turns_summary,
    with_break,
)
from fieldtrip.desktop.content.tide_opening import (
    Becomes,
    Opened,
    choices_of,
    unsaid,
)
from fieldtrip.errors import UserError
from fieldtrip.exchange.tide_facts import (
    Facts,
    constants_of,
    mean_range_m,
    range_doubt,
    series_of,
    settled,
    turns_of,
)
from fieldtrip.exchange.tide_file import TideKind
from fieldtrip.exchange.tide_fitting import fit_of
from fieldtrip.exchange.tide_rows import TurnsRead
from fieldtrip.exchange.tide_text import zone_name
from fieldtrip.tides.constants import HarmonicConstants
from fieldtrip.tides.fit import SHORTEST, Fit, covered
from fieldtrip.tides.harmonic import HarmonicCurve
from fieldtrip.tides.prediction import HarmonicSum
from fieldtrip.tides.records import Exposure, TideTable
from fieldtrip.tides.stations import Station, StationKind
from fieldtrip.times import from_instant
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.tide_sources import sources_of
from fieldtrip.wording import count_text, number_text

_MONTH_STEPS, _STEP_S = 29 * 48, 1800.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What stands in the fields, sound or not."""

    port: str = ""
    zone: str = ""
    unit: str = ""
    datum: str = ""
    source: str = ""
    z0_m: float | None = None
    exposure: Exposure | None = None
    is_distorted: bool | None = None
    becomes: Becomes | None = None
    is_right: bool = False  # somebody looked at what seems odd


@dataclass(frozen=True, slots=True, kw_only=True)
class TideImportContent:
    """The preview, what is odd, what is missing, and what would be stored."""

    columns: tuple[str, ...] = TIMED_COLUMNS
    rows: tuple[tuple[str, ...], ...] = ()
    summary: str = "No file is chosen yet."
    notes: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()
    choices: tuple[Becomes, ...] = ()
    can_fit: bool = False
    made: TideTable | Station | None = None


def first_answers(opened: Opened) -> Answers:
    """What the files say themselves, for fields that still can be typed in."""
    if not opened.files:
        return Answers()
    first = opened.files[0]
    choices = choices_of(opened.files)
    return Answers(
        port=first.port,
        source=first.source,
        becomes=choices[0] if len(choices) == 1 else None,
    )


def tide_import_content(
    opened: Opened, answers: Answers, dossier: Dossier, fit: Fit | None = None
) -> TideImportContent:
    """What is read, with what was answered; `fit` is the curve found, if any."""
    if opened.faults or not opened.files:
        waits = bool(opened.unsettled) and not opened.faults
        return TideImportContent(
            summary="Say which column holds what." if waits else "Nothing is read.",
            faults=opened.faults,
        )
    faults = _missing(opened, answers)
    if faults:
        return TideImportContent(
            columns=RAW_COLUMNS,
            rows=raw_rows(opened.files[0]),
            summary=layout_text(opened.files),
            faults=faults,
            choices=choices_of(opened.files),
            notes=opened.files[0].notes,
        )
    facts = facts_of(answers)
    try:
        if opened.files[0].kind is TideKind.CONSTANTS:
            return _constants_content(opened, answers, facts, dossier)
        if opened.files[0].kind is TideKind.SERIES:
            return _series_content(opened, answers, facts, dossier, fit)
        return _turns_content(opened, answers, facts, dossier, fit)
    except UserError as error:
        return TideImportContent(
            summary=layout_text(opened.files),
            faults=(str(error),),
            choices=choices_of(opened.files),
        )


def facts_of(answers: Answers) -> Facts:
    """The answers that change what is read."""
    return Facts(
        zone=answers.zone,
        unit=answers.unit,
        datum=answers.datum.strip(),
        port=answers.port.strip(),
        z0_m=answers.z0_m,
    )


def find_curve(opened: Opened, facts: Facts) -> Fit:
    """The curve of a year or more, as a job; `UserError` where it cannot be found."""
    known = settled(opened.files[0], facts)
    return fit_of(opened.files, facts, port=known.port, datum=known.datum)


def _missing(opened: Opened, answers: Answers) -> tuple[str, ...]:
    questions = {
        "zone": (answers.zone, "Choose the zone in which the times are given."),
        "unit": (answers.unit, "Choose the unit of the heights."),
        "z0": (
            "" if answers.z0_m is None else "given",
            "Say how far mean sea level lies above the datum, or choose the file of "
            "the station’s levels (datums.json) with this one.",
        ),
    }
    found = [] if answers.port.strip() else ["Name the port."]
    found += [
        question
        for fact, (answer, question) in questions.items()
        if fact in unsaid(opened) and not answer
    ]
    if "datum" in unsaid(opened) and not answers.datum.strip():
        found.append("Say which datum the heights count from.")
    if not answers.source.strip():
        found.append("Say where the file comes from: authority and edition.")
    return tuple(found)


def _turns_content(
    opened: Opened, answers: Answers, facts: Facts, dossier: Dossier, fit: Fit | None
) -> TideImportContent:
    read = turns_of(opened.files, facts)
    known = settled(opened.files[0], facts)
    heights = np.array([turn.height_m for turn in read.turns])
    can_fit = covered(read.turns) >= SHORTEST
    choices = (Becomes.TABLE, Becomes.FIT) if can_fit else (Becomes.TABLE,)
    wants_fit = can_fit and answers.becomes is Becomes.FIT
    is_marked = all(file.may_stand for file in opened.files)
    doubts = [
        range_doubt(heights, _known_mean_m(dossier)),
        gap_doubt(read, is_marked=is_marked),
    ]
    made: TideTable | Station | None = None
    if answers.becomes is Becomes.TABLE:
        made = _table(answers, known, read, dossier)
    elif wants_fit and fit is not None:
        made = _station_of_fit(opened, answers, known, fit)
    rows = [
        row_of(t.instant, t.height_m, known, t.is_high) for t in ends_of(read.turns)
    ]
    return _judged(
        TideImportContent(
            rows=with_break(rows, len(read.turns)),
            summary=turns_summary(opened.files, read.turns, known)
            + (fit_text(fit) if wants_fit else ""),
            notes=(*some_of(read.notes), *fit_notes(fit)),
            doubts=tuple(filter(None, doubts)),
            choices=choices,
            can_fit=wants_fit,
            made=made,
        ),
        answers,
        dossier,
    )


def _series_content(
    opened: Opened, answers: Answers, facts: Facts, dossier: Dossier, fit: Fit | None
) -> TideImportContent:
    read = series_of(opened.files, facts)
    known = settled(opened.files[0], facts)
    instants = [from_instant(at) for at in read.instants[[0, -1]]]
    length = instants[1] - instants[0]
    can_fit = length >= SHORTEST
    pairs = list(zip(read.instants, read.heights_m.tolist(), strict=True))
    rows = [
        row_of(from_instant(at), height, known, None) for at, height in ends_of(pairs)
    ]
    faults: tuple[str, ...] = ()
    if not can_fit:
        faults = (
            f"These heights span {length.days} days. A curve needs at least "
            f"{SHORTEST.days}; for fewer, bring in the high and low waters.",
        )
    made = None
    if can_fit and fit is not None:
        made = _station_of_fit(opened, answers, known, fit)
    told = count_text(len(pairs), "height")
    return _judged(
        TideImportContent(
            rows=with_break(rows, len(pairs)),
            summary=f"{layout_text(opened.files)}: {told}, "
            f"{days_text(instants, known.zone)}{range_text(read.heights_m)}"
            f"{fit_text(fit) if can_fit else ''}",
            notes=(*some_of(read.notes), *fit_notes(fit)),
            doubts=tuple(
                filter(None, [range_doubt(read.heights_m, _known_mean_m(dossier))])
            ),
            faults=faults,
            choices=(Becomes.FIT,),
            can_fit=can_fit,
            made=made,
        ),
        answers,
        dossier,
    )


def _constants_content(
    opened: Opened, answers: Answers, facts: Facts, dossier: Dossier
) -> TideImportContent:
    (file,) = opened.files
    found = constants_of(file, facts)
    known = settled(file, facts)
    strongest = sorted(found.constants, key=lambda c: -c.amplitude_m)
    in_use = [constant for constant in strongest if constant.amplitude_m > 0.0]
    rows = [
        (
            constant.name,
            f"{number_text(constant.amplitude_m, 3)} m",
            f"{number_text(constant.greenwich_phase_deg, 1)}°",
            "",
        )
        for constant in in_use
    ]
    left_out = found.unrecognised()
    notes = list(file.notes)
    if left_out.names:
        notes.append(
            f"Not known and left out: {', '.join(left_out.names)}; together "
            f"{number_text(left_out.amplitude_m, 3)} m, by which the curve may be "
            "wrong."
        )
    month = _month_of(found)
    told = count_text(len(in_use), "constituent")
    return _judged(
        TideImportContent(
            columns=CONSTANT_COLUMNS,
            rows=tuple(rows),
            summary=f"{layout_text(opened.files)}: {told}; mean sea level "
            f"{number_text(found.z0_m, 3)} m above {found.datum}{range_text(month)}",
            notes=tuple(notes),
            doubts=tuple(filter(None, [range_doubt(month, _known_mean_m(dossier))])),
            choices=(Becomes.CONSTANTS,),
            made=Station(
                name=known.port,
                kind=StationKind.CONSTANTS,
                datum=known.datum,
                position=file.position,
                unit=known.unit,
                z0_m=found.z0_m,
                constants=found.constants,
                exposure=answers.exposure,
                is_distorted=answers.is_distorted,
                source=answers.source.strip(),
            ),
        ),
        answers,
        dossier,
    )


def _judged(
    content: TideImportContent, answers: Answers, dossier: Dossier
) -> TideImportContent:
    """Nothing is stored before every question is answered."""
    faults = list(content.faults)
    becomes = answers.becomes
    if becomes not in content.choices:
        faults.append("Choose what it becomes.")
    if content.doubts and not answers.is_right:
        faults.append("Look at what seems odd, and say that it is right as read.")
    if content.made is not None:
        faults += content.made.faults()
    notes = content.notes
    if isinstance(content.made, Station) and dossier.stations:
        notes = (
            *notes,
            "It becomes the location’s station in place of "
            f"“{dossier.stations[0].name}”, which stays in the library.",
        )
    return replace(
        content,
        faults=tuple(dict.fromkeys(faults)),
        notes=notes,
        can_fit=content.can_fit and not faults,
        made=None if faults else content.made,
    )


def _table(
    answers: Answers, known: Facts, read: TurnsRead, dossier: Dossier
) -> TideTable:
    return TideTable(
        location_id=dossier.location.id,
        port=known.port,
        zone=zone_name(known.zone),
        datum=known.datum,
        unit=_kept_unit(known.unit),
        source=answers.source.strip(),
        turns=read.turns,
        exposure=answers.exposure,
        is_distorted=answers.is_distorted,
    )


def _station_of_fit(
    opened: Opened, answers: Answers, known: Facts, fit: Fit
) -> Station:
    return Station(
        name=known.port,
        kind=StationKind.FIT,
        datum=known.datum,
        position=opened.files[0].position,
        unit=_kept_unit(known.unit),
        zone=zone_name(known.zone),
        z0_m=fit.constants.z0_m,
        constants=fit.constants.constants,
        fit_margin_m=fit.margin_m,
        exposure=answers.exposure,
        is_distorted=answers.is_distorted,
        source=answers.source.strip(),
        year=(fit.span.start + fit.span.length / 2).year,
    )


def _kept_unit(unit: str) -> str:
    return "m" if unit == "mm" else unit


def _known_mean_m(dossier: Dossier) -> float | None:
    """The mean range at a place as its first source tells it."""
    for source in sources_of(dossier):
        if isinstance(source.curve, HarmonicCurve):
            return mean_range_m(_month(source.curve))
        if source.reach is not None:
            turns = source.curve.turns(source.reach)
            return mean_range_m(np.array([turn.height_m for turn in turns]))
    return None


def _month_of(constants: HarmonicConstants) -> Array:
    return _month(HarmonicCurve(HarmonicSum(constants)))


def _month(curve: HarmonicCurve) -> Array:
    return curve.grid_m(datetime(2026, 1, 1, tzinfo=UTC), _STEP_S, _MONTH_STEPS)
