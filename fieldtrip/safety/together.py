"""Findings that say the same of several walks, told as one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from fieldtrip.safety.finding import Finding, short_form
from fieldtrip.times import Span


def told_together(
    found: Sequence[Finding], number: str, *, is_high_worse: bool
) -> tuple[Finding, ...]:
    """Of findings with one reason, the one with the worst number speaks for all.

    In the order in which each reason comes first.  A reason written against it
    lapses when it speaks for other walks.
    """
    groups: dict[object, list[Finding]] = {}
    for finding in found:
        same = (finding.severity, finding.reason, finding.notes)
        groups.setdefault(same, []).append(finding)
    return tuple(_one(group, number, is_high_worse) for group in groups.values())


def _one(group: list[Finding], number: str, is_high_worse: bool) -> Finding:
    if len(group) == 1:
        return group[0]
    sign = 1.0 if is_high_worse else -1.0
    worst = max(group, key=lambda one: sign * (one.number(number) or 0.0))
    spans = [one.span for one in group if one.span is not None]
    return replace(
        worst,
        about=", ".join(dict.fromkeys(one.about for one in group)),
        about_id=group[0].about_id,
        span=Span(min(s.start for s in spans), max(s.stop for s in spans))
        if spans
        else None,
        stands_for=short_form([str(one.about_id) for one in group]),
    )
