"""Findings in plain words, in the user's units and the place's time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from string import Formatter

from fieldtrip.finding_numbers import number_words
from fieldtrip.finding_sentences.advice import ADVICE, NOTES
from fieldtrip.finding_sentences.ground_and_sea import FOUND as GROUND_AND_SEA
from fieldtrip.finding_sentences.titles import BASES, SEVERITIES, TITLES
from fieldtrip.finding_sentences.weather_and_way import FOUND as WEATHER_AND_WAY
from fieldtrip.safety.checklist import Caution, Checklist
from fieldtrip.safety.finding import (
    Finding,
    Note,
    Reason,
    Severity,
)
from fieldtrip.safety.limit_specs import BY_NAME, USUAL, LimitSpec
from fieldtrip.settings import Settings
from fieldtrip.wording import (
    count_text,
    when_text,
)

_CAUTIONS = {
    Caution.PLANNING_AID: "A planning aid: it knows only what was typed into it.",
    Caution.NO_WEATHER_IN_TIDES: (
        "Tide predictions leave out weather and the state of the sea."
    ),
    Caution.OBEY: "Obey closures, signs, coastguard and rangers.",
    Caution.LOCAL_FIRST: "Local rules and qualified guides come first.",
    Caution.NOT_FOR_NAVIGATION: "Not for navigation.",
}
_SENTENCES: dict[Reason, tuple[str, ...]] = GROUND_AND_SEA | WEATHER_AND_WAY
CAUTIONS: tuple[str, ...] = tuple(_CAUTIONS[caution] for caution in Caution)


@dataclass(frozen=True, slots=True)
class FindingWords:
    """Every text of one finding."""

    title: str
    severity_word: str
    found: str
    advice: str
    source: str


def finding_words(
    finding: Finding, zone: str, settings: Settings, day: date
) -> FindingWords:
    """Put a finding into words; times at the place, dated where not on `day`."""
    words = _words(finding, zone, settings, day)
    sentences = [*_SENTENCES[finding.reason], *(NOTES[note] for note in finding.notes)]
    sentences += [_loosened(*pair) for pair in finding.loosened]
    if finding.override:
        sentences.append("Overruled by {ticked_by}: “{override}”.")
        if finding.severity is Severity.STOP:
            sentences.append("It stays a stop.")
    found = " ".join(s.format_map(words) for s in sentences if _is_known(s, words))
    if finding.about:
        title = f"{TITLES[finding.rule]}: {finding.about}"
    else:
        title = TITLES[finding.rule]
    return FindingWords(
        title=title,
        severity_word=SEVERITIES[finding.severity],
        found=found,
        advice=ADVICE[finding.remedy],
        source=_source(finding),
    )


def words_of_all(
    findings: Sequence[Finding], zone: str, settings: Settings, day: date
) -> tuple[FindingWords, ...]:
    """Each finding in words; of those with one title, each says its time in it."""
    words = [finding_words(finding, zone, settings, day) for finding in findings]
    titles = Counter(one.title for one in words)
    return tuple(
        replace(one, title=f"{one.title}, {_start(finding, zone, settings, day)}")
        if titles[one.title] > 1 and finding.span is not None
        else one
        for one, finding in zip(words, findings, strict=True)
    )


def _loosened(name: str, value: float) -> str:
    """That a limit allows more than usual, and how much."""
    spec = BY_NAME[name]
    usual = spec.value(USUAL)
    own, other = limit_text(spec, value), limit_text(spec, usual)
    return (
        f"Your own limit is looser than the usual one: “{spec.words}” is {own}, "
        f"usually {other}."
    )


def limit_text(spec: LimitSpec, value: float) -> str:
    """A limit with its unit, as in ``18 m/s``."""
    number = f"{value:.4g}".replace("-", "−")
    return f"{number} {spec.unit}".strip()


def _start(finding: Finding, zone: str, settings: Settings, day: date) -> str:
    return when_text(finding.span.start, zone, settings, day) if finding.span else ""


def overall_words(checklist: Checklist) -> str:
    """The one line above the list: its worst item."""
    worst = checklist.overall
    count = sum(finding.severity is worst for finding in checklist.findings)
    match worst:
        case Severity.STOP:
            return f"Stop: {count_text(count, 'finding says', 'findings say')} no."
        case Severity.UNKNOWN:
            things = count_text(count, "thing is", "things are")
            return f"Unknown: {things} not known, so nobody can say that it is safe."
        case Severity.CAUTION:
            return (
                f"Caution: {count_text(count, 'finding asks', 'findings ask')} for it."
            )
        case _:
            return "Clear: nothing that was checked speaks against it."


def _source(finding: Finding) -> str:
    """Where the threshold comes from, and the table or forecast it was held against."""
    if not finding.basis or finding.rule not in BASES:
        return finding.source
    is_station = Note.STATION in finding.notes
    word = "Tide station" if is_station else BASES[finding.rule]
    return f"{finding.source}. {word}: {finding.basis}"


def _words(
    finding: Finding, zone: str, settings: Settings, day: date
) -> dict[str, str]:
    words = number_words(finding, zone, settings, day)
    for name in ("basis", "override", "ticked_by"):
        if getattr(finding, name):
            words[name] = getattr(finding, name)
    if finding.ticked is not None:
        words["ticked"] = when_text(finding.ticked, zone, settings, day)
    return words


def _is_known(sentence: str, words: dict[str, str]) -> bool:
    return all(name in words for _, name, _, _ in Formatter().parse(sentence) if name)
