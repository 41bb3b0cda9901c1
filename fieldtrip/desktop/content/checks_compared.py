"""What is different between two runs of the checks, in words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime

from fieldtrip.places.records import CrossingObservation
from fieldtrip.safety.finding import Finding, Rule, Severity
from fieldtrip.store.changes import Change
from fieldtrip.tides.records import TideTable
from fieldtrip.tides.stations import Station
from fieldtrip.trips.records import (
    CheckRun,
    Gate,
    RecordedFinding,
    Stop,
    Tick,
    Trip,
    Walk,
)
from fieldtrip.weather.records import Forecast

_MOST_TOLD = 4  # of what is different, before the rest is only counted
_PLAN = (Trip, Stop, Walk, Gate)
_TIDE = (TideTable, Station, CrossingObservation)
TIME_PASSED = "with time"
SETTINGS_CHANGED = "after a change of the settings"


def baseline(
    runs: Sequence[CheckRun], severities: Mapping[str, str]
) -> CheckRun | None:
    """The kept run to compare with: the newest, or the one before if it says the same.

    So what changed stays marked until it changes again, or somebody keeps a run of
    their own.  `runs` are newest first.
    """
    if not runs:
        return None
    if len(runs) > 1 and is_same_run(runs[0], severities):
        return runs[1]
    return runs[0]


def is_same_run(run: CheckRun, severities: Mapping[str, str]) -> bool:
    """Whether a kept run found the same things just as bad."""
    return severities_of(run) == dict(severities)


def severities_of(run: CheckRun) -> dict[str, str]:
    """How bad each finding of a run was."""
    return {finding.rule: finding.severity for finding in run.findings}


def change_words(
    row_id: str, severity: Severity, before: CheckRun | None, last: str
) -> str:
    """How a finding differs from an earlier run; empty: not, or there is none."""
    if before is None:
        return ""
    was = severities_of(before).get(row_id)
    if was is None:
        return f"new since {last}"
    return "" if was == str(severity) else f"was {was} at {last}"


def gone_words(
    before: CheckRun | None, severities: Mapping[str, str], last: str
) -> str:
    """What an earlier run found and this one does not."""
    if before is None:
        return ""
    gone = _gone(before, severities)
    return f"No longer found since {last}: {', '.join(gone)}." if gone else ""


def lapsed_words(
    ticks: Iterable[Tick],
    findings: Sequence[Finding],
    moment: Callable[[datetime], str],
) -> str:
    """Which ticks count no more, because what they confirmed changed or is gone.

    One that was said anew since is left out.
    """
    keys = {finding.key for finding in findings}
    ticks = tuple(ticks)
    renewed = {_rule(t): t.at for t in sorted(ticks, key=_at) if t.item in keys}
    said = []
    for tick in ticks:
        since = renewed.get(_rule(tick))
        if tick.item in keys or (since is not None and since >= tick.at):
            continue
        what = "Overruled" if tick.reason.strip() else "Ticked"
        rule = _rule(tick)
        why = "what it speaks of has changed or is gone"
        if rule not in set(Rule):
            why = "there is no such check any more"
        said.append(f"{what} {moment(tick.at)} by {tick.by} ({_called(rule)}): {why}.")
    return f"No longer counts. {' '.join(said)}" if said else ""


def differences(before: CheckRun, after: CheckRun) -> tuple[str, ...]:
    """What is different in a later run, worst first, as short sentences."""
    was = severities_of(before)
    told = [
        (Severity(found.severity).rank, _told(found, was.get(found.rule)))
        for found in after.findings
        if was.get(found.rule) != found.severity
    ]
    words = [text for _, text in sorted(told, key=lambda one: one[0])]
    gone = _gone(before, severities_of(after))
    return (*words, *(f"{text} is no longer found" for text in gone))


def changed_words(before: CheckRun, after: CheckRun, causes: Iterable[str]) -> str:
    """What happened to the checks just now, and after what; empty for nothing.

    That an edit changed nothing is said too; that time did not, is not.
    """
    causes = tuple(dict.fromkeys(causes))
    found = differences(before, after)
    why = " and ".join(causes) or TIME_PASSED
    why = f"{why[:1].upper()}{why[1:]}"
    if not found:
        return f"{why}: nothing here is different." if causes else ""
    more = len(found) - _MOST_TOLD
    rest = f"; and {more} more" if more > 0 else ""
    return f"{why}: {'; '.join(found[:_MOST_TOLD])}{rest}."


def causes_of(changes: Iterable[Change]) -> list[str]:
    """What an edit was about, as far as the checks care."""
    found = []
    for change in changes:
        if change.before == change.after:
            continue  # said anew, and no edit
        match change.record:
            case record if isinstance(record, _PLAN):
                found.append("after a change of the plan")
            case record if isinstance(record, _TIDE):
                found.append("after a change of the tide")
            case Forecast():
                found.append("after a change of the forecast")
            case Tick():
                found.append("after what was just said")
            case CheckRun():
                continue
            case _:
                found.append("after a change of what is known of the place")
    return list(dict.fromkeys(found))


def _rule(tick: Tick) -> str:
    return tick.item.partition(":")[0]


def _at(tick: Tick) -> datetime:
    return tick.at


def _told(found: RecordedFinding, was: str | None) -> str:
    if was is None:
        return f"{found.about} is new ({found.severity})"
    return f"{found.about} was {was}, now {found.severity}"


def _gone(before: CheckRun, severities: Mapping[str, str]) -> list[str]:
    return [
        f"{found.about} ({found.severity})"
        for found in before.findings
        if found.rule not in severities
    ]


def _called(rule: str) -> str:
    """A rule by its code, as words: ``tide_crossing`` is a tide crossing."""
    return rule.replace("_", " ") or "nothing"
