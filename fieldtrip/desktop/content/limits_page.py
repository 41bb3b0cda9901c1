"""What the page of the settings says on which the limits of the checks are set."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fieldtrip.phrasing import limit_text
from fieldtrip.safety.limit_specs import (
    SPECS,
    USUAL,
    LimitSpec,
    limits_from,
    with_override,
)
from fieldtrip.settings import Settings
from fieldtrip.wording import count_text

USUAL_WORD = "as usual"
STRICTER = "stricter"
LOOSER = "looser"


@dataclass(frozen=True, slots=True)
class LimitRow:
    """One limit."""

    name: str
    words: str
    unit: str
    value: float
    usual: str  # with its unit
    state: str  # as usual, stricter or looser
    source: str
    is_looser: bool
    is_own: bool  # not as usual


@dataclass(frozen=True, slots=True)
class LimitsContent:
    """Every text of the page."""

    rows: tuple[LimitRow, ...]
    summary: str
    can_reset: bool


def limits_content(settings: Settings) -> LimitsContent:
    """The limits in force beside the usual ones."""
    limits = limits_from(settings.limits)
    rows = tuple(_row(spec, spec.value(limits)) for spec in SPECS)
    looser = sum(row.is_looser for row in rows)
    stricter = sum(row.is_own for row in rows) - looser
    summary = "All limits are as usual."
    if looser or stricter:
        summary = (
            f"{count_text(looser, 'limit is', 'limits are')} looser than usual, which "
            "every finding that goes by it says on screen and on paper; "
            f"{count_text(stricter, 'is', 'are')} stricter."
        )
    return LimitsContent(rows, summary, bool(settings.limits))


def with_limit(settings: Settings, name: str, value: float | None) -> Settings:
    """Settings with one limit set, or (None) as usual again."""
    return replace(settings, limits=with_override(settings.limits, name, value))


def with_usual_limits(settings: Settings) -> Settings:
    """Settings with every limit as usual."""
    return replace(settings, limits=())


def _row(spec: LimitSpec, value: float) -> LimitRow:
    usual = spec.value(USUAL)
    is_looser, is_own = spec.is_looser_value(value), value != usual
    state = LOOSER if is_looser else STRICTER if is_own else USUAL_WORD
    return LimitRow(
        name=spec.name,
        words=spec.words,
        unit=spec.unit,
        value=value,
        usual=f"usually {limit_text(spec, usual)}",
        state=state,
        source=spec.source,
        is_looser=is_looser,
        is_own=is_own,
    )
