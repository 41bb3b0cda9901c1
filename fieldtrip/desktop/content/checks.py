"""What the checks page says about a trip."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from enum import Enum, auto
from uuid import UUID

from fieldtrip.phrasing import CAUTIONS, FindingWords, overall_words, words_of_all
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Finding, Severity
from fieldtrip.safety.limits import Limits
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
    change: str  # against the last run that was kept
    deed: Deed
    tick: Tick | None  # the one that can be taken back


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
    overall_note: str
    checked: str  # when, and in which zone the times are
    rows: tuple[FindingRow, ...]
    gone: str  # what the last kept run said and this one does not
    runs: tuple[RunRow, ...]
    cautions: tuple[str, ...]
    run: CheckRun
    text: str  # all of it, to be copied


def checks_content(
    dossier: Dossier,
    trip: Trip,
    now: datetime,
    settings: Settings,
    limits: Limits | None = None,
) -> ChecksContent:
    """Run every check over a trip as it is known at a moment, and say what it finds."""
    facts = facts_of(dossier, trip, now)
    checklist = check(facts, limits)
    zone = dossier.location.zone
    words = words_of_all(checklist.findings, zone, settings, trip.day)
    runs = tuple(run for run in dossier.check_runs if run.trip_id == trip.id)
    ticks = dossier.ticks_of(trip)
    say = _Sayer(zone, settings, trip, local_date(now, zone))
    before = _severities(runs[0]) if runs else {}
    last = say.moment(runs[0].at) if runs else ""
    rows = tuple(
        say.row(row_id, finding, said, ticks, _change(row_id, finding, before, last))
        for (row_id, finding), said in zip(
            _named(checklist.findings), words, strict=True
        )
    )
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
        overall_note=f"{_counted(f.severity for f in checklist.findings)}; {_RULE}",
        checked=say.checked(now, facts.span),
        rows=rows,
        gone=_gone(runs[0], rows, last) if runs else "",
        runs=tuple(say.run_row(kept) for kept in runs),
        cautions=tuple(CAUTIONS),
        run=run,
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
            found=words.found,
            advice=words.advice,
            source=f"Threshold: {words.source}" if words.source and applies else "",
            span=self._span(finding) if applies else "",
            written=said,
            change=change,
            deed=_deed(finding, tick),
            tick=tick,
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


def _severities(run: CheckRun) -> dict[str, str]:
    return {finding.rule: finding.severity for finding in run.findings}


def _named(findings: Sequence[Finding]) -> list[tuple[str, Finding]]:
    """Each finding with a name of its own, also where two share a key."""
    seen: Counter[str] = Counter()
    named: list[tuple[str, Finding]] = []
    for finding in findings:
        seen[finding.key] += 1
        count = seen[finding.key]
        named.append((finding.key if count == 1 else f"{finding.key}#{count}", finding))
    return named


def _change(row_id: str, finding: Finding, before: dict[str, str], last: str) -> str:
    """How a finding differs from the last kept run; empty: not, or there is none."""
    if not last:
        return ""
    was = before.get(row_id)
    if was is None:
        return f"new since {last}"
    return "" if was == str(finding.severity) else f"was {was} at {last}"


def _gone(run: CheckRun, rows: Sequence[FindingRow], last: str) -> str:
    here = {row.id for row in rows}
    gone = [f"{f.about} ({f.severity})" for f in run.findings if f.rule not in here]
    return f"No longer found since {last}: {', '.join(gone)}." if gone else ""


def _with_text(content: ChecksContent, trip: Trip) -> ChecksContent:
    lines = [f"{trip.name}, {date_text(trip.day)}", content.overall_words]
    lines += [f"{content.overall_note}. {content.checked}.", ""]
    for row in content.rows:
        lines.append(f"{_SIGNS[row.severity]} {row.title} ({row.severity_word})")
        more = (row.found, row.advice, row.span, row.source, row.written, row.change)
        lines += [f"    {text}" for text in more if text]
    lines += ["", *content.cautions]
    return replace(content, text="\n".join(lines))
