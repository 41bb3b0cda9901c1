"""What the checks page says about a trip."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from enum import Enum, auto
from uuid import UUID

from fieldtrip.almanac.gates import GateWords, gates_in_words
from fieldtrip.desktop.content.checks_compared import (
    baseline,
    change_words,
    gone_words,
    is_same_run,
    lapsed_words,
)
from fieldtrip.desktop.content.checks_on_map import record_on_map
from fieldtrip.phrasing import CAUTIONS, FindingWords, overall_words, words_of_all
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Finding, Reason, Severity, worst
from fieldtrip.safety.limit_specs import limits_from
from fieldtrip.safety.limits import Limits
from fieldtrip.safety.moments import Moment, moment_of
from fieldtrip.settings import Settings
from fieldtrip.times import Span, local_date
from fieldtrip.trips.dossier import Dossier
from fieldtrip.trips.plan import facts_of
from fieldtrip.trips.records import CheckRun, RecordedFinding, Tick, Trip
from fieldtrip.wording import (
    clock_text,
    count_text,
    date_text,
    short_date_text,
    when_text,
    zone_text,
)

NO_TRIP = "Choose or draft a trip: Trip ▸ New trip."
_RULE = "the worst one decides"
_MANY = {
    Severity.STOP: "stops",
    Severity.UNKNOWN: "unknown",
    Severity.CAUTION: "cautions",
    Severity.CLEAR: "clear",
}
_SIGNS = {
    Severity.STOP: "■",
    Severity.UNKNOWN: "?",
    Severity.CAUTION: "▲",
    Severity.CLEAR: "●",
    Severity.DOES_NOT_APPLY: "○",
}
_TITLES = {
    Moment.GATES: "Gates",
    Moment.BEFORE: "Before leaving",
    Moment.CAR: "At the car",
    Moment.WAY: "On the way",
    Moment.SPOT: "At the spot",
    Moment.BACK: "Way back",
}
NOT_CONCERNED = "Does not apply to this trip"


class Deed(Enum):
    """What a person can do about a finding here, besides changing the plan."""

    NOTHING = auto()
    CONFIRM = auto()  # only a person can know
    OVERRULE = auto()  # a stop: with a written reason, and it stays a stop


@dataclass(frozen=True, slots=True)
class FindingRow:
    """One finding in words."""

    id: str  # its own on this page, and the same from run to run
    key: str  # what a tick for it names
    severity: Severity
    title: str
    severity_word: str
    found: str
    advice: str
    source: str
    span: str
    written: str  # when somebody overruled it
    change: str  # against the last run that said something else
    deed: Deed
    tick: Tick | None  # the one that can be taken back
    moment: Moment
    record_id: UUID | None  # what of it lies on the map
    at: datetime | None  # when it is about, for the day strip


@dataclass(frozen=True, slots=True)
class ChecksGroup:
    """The findings that matter at one time of the day, worst first."""

    id: str
    title: str
    severity: Severity
    note: str  # how many of each
    rows: tuple[FindingRow, ...]
    is_folded: bool  # until somebody opens it


@dataclass(frozen=True, slots=True)
class RunRow:
    """A run that was kept."""

    run: CheckRun
    severity: Severity
    title: str
    details: str


@dataclass(frozen=True, slots=True)
class ChecksContent:
    """Every text of the page, and the run as it would be kept."""

    trip_id: UUID
    overall: Severity
    overall_words: str
    overall_item: str  # the worst finding, by its title
    worst_id: str  # and by its row; empty where nothing speaks against the trip
    overall_note: str
    checked: str  # when, and in which zone the times are
    groups: tuple[ChecksGroup, ...]
    gone: str  # what the last kept run said and this one does not
    lapsed: str  # what was ticked and no longer counts
    runs: tuple[RunRow, ...]
    cautions: tuple[str, ...]
    run: CheckRun
    is_kept: bool  # whether the newest kept run says the same
    text: str  # all of it, to be copied

    @property
    def rows(self) -> tuple[FindingRow, ...]:
        """Every finding, as they stand on the page."""
        return tuple(row for group in self.groups for row in group.rows)


def checks_content(
    dossier: Dossier,
    trip: Trip,
    now: datetime,
    settings: Settings,
    limits: Limits | None = None,
) -> ChecksContent:
    """Run every check over a trip as it is known at a moment, and say what it finds."""
    limits = limits or limits_from(settings.limits)
    facts = facts_of(dossier, trip, now)
    checklist = check(facts, limits)
    zone = dossier.location.zone
    words = words_of_all(checklist.findings, zone, settings, trip.day)
    runs = tuple(run for run in dossier.check_runs if run.trip_id == trip.id)
    ticks = dossier.ticks_of(trip)
    say = _Sayer(zone, settings, trip, local_date(now, zone))
    gates = {str(one.gate.id): one for one in gates_in_words(facts, settings, limits)}
    named = _named(checklist.findings)
    severities = {row_id: str(finding.severity) for row_id, finding in named}
    before = baseline(runs, severities)
    last = say.moment(before.at) if before is not None else ""
    stays = tuple(stop.span for stop in facts.stops)
    made = [
        say.row(
            row_id,
            finding,
            said,
            ticks,
            change_words(row_id, finding.severity, before, last),
            moment_of(finding.rule, finding.span, stays),
            record_on_map(dossier, finding.about_id),
            gates.get(str(finding.about_id)),
        )
        for (row_id, finding), said in zip(named, words, strict=True)
    ]
    groups = _groups(made, list(gates))
    rows = [row for group in groups for row in group.rows]
    first = _worst_row(made, checklist.overall)
    run = CheckRun(
        trip_id=trip.id,
        at=now,
        overall=str(checklist.overall),
        findings=tuple(
            RecordedFinding(row.id, row.title, str(row.severity), row.found)
            for row in rows
        ),
    )
    content = ChecksContent(
        trip_id=trip.id,
        overall=checklist.overall,
        overall_words=overall_words(checklist),
        overall_item="" if first is None else first.title,
        worst_id="" if first is None else first.id,
        overall_note=f"{_counted(f.severity for f in checklist.findings)}; {_RULE}",
        checked=say.checked(now, facts.span),
        groups=groups,
        gone=gone_words(before, severities, last),
        lapsed=lapsed_words(ticks, checklist.findings, say.moment),
        runs=tuple(say.run_row(kept) for kept in runs),
        cautions=tuple(CAUTIONS),
        run=run,
        is_kept=bool(runs) and is_same_run(runs[0], severities),
        text="",
    )
    return _with_text(content, trip)


def tick_for(
    trip_id: UUID, row: FindingRow, now: datetime, person: str, reason: str = ""
) -> Tick:
    """What a person says about a finding; a reason goes against it."""
    return Tick(
        trip_id=trip_id, item=row.key, at=now, by=person.strip(), reason=reason.strip()
    )


@dataclass(frozen=True, slots=True)
class _Sayer:
    zone: str
    settings: Settings
    trip: Trip
    today: date

    def moment(self, instant: datetime) -> str:
        """When something was done, as in ``11:05`` today or ``Thu 12 Nov 18:02``."""
        clock = clock_text(instant, self.zone, self.settings)
        day = local_date(instant, self.zone)
        return clock if day == self.today else f"{short_date_text(day)} {clock}"

    def checked(self, now: datetime, span: Span) -> str:
        """When it was checked, and the zone of all times on the page.

        As in ``Checked Wed 25 Nov 12:05, times in GMT``.
        """
        there = [zone_text(instant, self.zone) for instant in (span.start, span.stop)]
        zones = " and ".join(dict.fromkeys(there))
        day = short_date_text(local_date(now, self.zone))
        clock = clock_text(now, self.zone, self.settings)
        here = zone_text(now, self.zone)
        if here == zones:
            return f"Checked {day} {clock}, times in {zones}"
        return f"Checked {day} {clock} {here}; times in {zones}"

    def row(
        self,
        row_id: str,
        finding: Finding,
        words: FindingWords,
        ticks: Sequence[Tick],
        change: str,
        moment: Moment,
        record_id: UUID | None,
        gate: GateWords | None,
    ) -> FindingRow:
        """One finding, with what a person said about it."""
        mine = [tick for tick in ticks if tick.item == finding.key]
        against = [tick for tick in mine if tick.reason.strip()]
        confirmed = [tick for tick in mine if not tick.reason.strip()]
        tick: Tick | None = None
        said = ""
        if finding.override and against:
            tick = against[-1]
            said = f"Written {self.moment(tick.at)} by {tick.by}"
        elif finding.ticked is not None and confirmed:
            tick = confirmed[-1]  # what was found already names who and when
        applies = finding.severity is not Severity.DOES_NOT_APPLY
        return FindingRow(
            id=row_id,
            key=finding.key,
            severity=finding.severity,
            title=words.title,
            severity_word=words.severity_word,
            found=words.found if gate is None else _gate_found(finding, words, gate),
            advice=words.advice,
            source=f"Threshold: {words.source}" if words.source and applies else "",
            span=self._span(finding) if applies else "",
            written=said,
            change=change,
            deed=_deed(finding, tick),
            tick=tick,
            moment=moment,
            record_id=record_id,
            at=_at(finding, gate),
        )

    def run_row(self, run: CheckRun) -> RunRow:
        """A kept run as one line, and its findings below one another."""
        severity = Severity(run.overall)
        listed = _counted(Severity(f.severity) for f in run.findings)
        details = "\n".join(
            f"{_SIGNS[Severity(f.severity)]} {f.about} ({f.severity}): {f.text}"
            for f in run.findings
        )
        when = f"{short_date_text(local_date(run.at, self.zone))} "
        when += clock_text(run.at, self.zone, self.settings)
        return RunRow(run, severity, f"{when}: {run.overall} ({listed})", details)

    def _span(self, finding: Finding) -> str:
        if finding.span is None:
            return ""
        day = self.trip.day
        start, stop = (
            when_text(instant, self.zone, self.settings, day)
            for instant in (finding.span.start, finding.span.stop)
        )
        return f"for {start}" if start == stop else f"for {start} to {stop}"


def _gate_found(finding: Finding, words: FindingWords, gate: GateWords) -> str:
    """Where a gate is, by when and why then, what must be seen, and what else."""
    if finding.reason is Reason.CONFIRMED:
        return words.found
    said = f"{gate.where[:1].upper()}{gate.where[1:]}. {gate.text}"
    if finding.override:
        said += f" Overruled by {finding.ticked_by}: “{finding.override}”."
        said += " It stays a stop." if finding.severity is Severity.STOP else ""
    return said


def _at(finding: Finding, gate: GateWords | None) -> datetime | None:
    if gate is not None:
        return gate.decision.at or gate.decision.planned
    return finding.span.start if finding.span is not None else None


def _groups(
    rows: Sequence[FindingRow], gates: Sequence[str]
) -> tuple[ChecksGroup, ...]:
    """By the day; gates in their own order, all else worst first as it comes."""
    order = {gate_id: place for place, gate_id in enumerate(gates)}
    applying = [row for row in rows if row.severity is not Severity.DOES_NOT_APPLY]
    others = [row for row in rows if row.severity is Severity.DOES_NOT_APPLY]
    found = []
    for moment, title in _TITLES.items():
        mine = [row for row in applying if row.moment is moment]
        if moment is Moment.GATES:
            mine.sort(key=lambda row: order.get(row.key.rpartition(":")[2], -1))
        if mine:
            found.append(_group(str(moment), title, mine, is_folded=False))
    if others:
        found.append(_group("not_concerned", NOT_CONCERNED, others, is_folded=True))
    return tuple(found)


def _group(
    group_id: str, title: str, rows: Sequence[FindingRow], *, is_folded: bool
) -> ChecksGroup:
    severities = [row.severity for row in rows]
    severity = Severity.DOES_NOT_APPLY if is_folded else worst(severities)
    note = _counted(severities) or count_text(len(rows), "check")
    return ChecksGroup(group_id, title, severity, note, tuple(rows), is_folded)


def _worst_row(rows: Iterable[FindingRow], overall: Severity) -> FindingRow | None:
    if overall in (Severity.CLEAR, Severity.DOES_NOT_APPLY):
        return None
    return next((row for row in rows if row.severity is overall), None)


def _counted(severities: Iterable[Severity]) -> str:
    """How many of each, worst first, as in ``1 stop, 2 cautions``."""
    counts = Counter(severities)
    return ", ".join(
        count_text(counts[severity], str(severity), many)
        for severity, many in _MANY.items()
        if counts[severity]
    )


def _deed(finding: Finding, tick: Tick | None) -> Deed:
    if tick is not None:
        return Deed.NOTHING
    if finding.severity is Severity.STOP:
        return Deed.OVERRULE
    can_tick = finding.can_be_ticked and finding.ticked is None
    return Deed.CONFIRM if can_tick else Deed.NOTHING


def _named(findings: Sequence[Finding]) -> list[tuple[str, Finding]]:
    """Each finding with a name of its own, also where two share a key."""
    seen: Counter[str] = Counter()
    named: list[tuple[str, Finding]] = []
    for finding in findings:
        seen[finding.key] += 1
        count = seen[finding.key]
        named.append((finding.key if count == 1 else f"{finding.key}#{count}", finding))
    return named


def _with_text(content: ChecksContent, trip: Trip) -> ChecksContent:
    lines = [f"{trip.name}, {date_text(trip.day)}", content.overall_words]
    lines += [f"{content.overall_note}. {content.checked}."]
    for group in content.groups:
        lines += ["", f"{group.title} ({group.note})"]
        for row in group.rows:
            lines.append(f"{_SIGNS[row.severity]} {row.title} ({row.severity_word})")
            more = (row.found, row.advice, row.span, row.source, row.written)
            lines += [f"    {text}" for text in (*more, row.change) if text]
    lines += [""] + [text for text in (content.gone, content.lapsed) if text]
    lines += ["", *content.cautions]
    return replace(content, text="\n".join(lines))
