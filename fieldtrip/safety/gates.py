"""Go/no-go points: each with what must be seen, by when, and what is done instead."""

from __future__ import annotations

from fieldtrip.safety.decision_times import (
    Because,
    DecisionTime,
    Missing,
    decision_times,
)
from fieldtrip.safety.finding import (
    Finding,
    Note,
    Number,
    Reason,
    Remedy,
    Rule,
    Severity,
)
from fieldtrip.safety.limits import SOURCE_GATES, Limits
from fieldtrip.trips.gates import gates_in_order
from fieldtrip.trips.plan import TripFacts
from fieldtrip.trips.records import Gate

_BY_TIDE = (Because.TIDE, Because.FLOODED)


def gates(facts: TripFacts, limits: Limits) -> tuple[Finding, ...]:
    """One finding for each gate of the trip, or one where it has none.

    A gate says what must be seen to go on and what is done instead, and the plan
    comes to it before it must have been decided.
    """
    if not facts.gates:
        return (
            Finding(
                rule=Rule.GATES,
                about=facts.trip.name,
                about_id=None,
                severity=Severity.UNKNOWN,
                reason=Reason.NO_GATES,
                remedy=Remedy.PLAN_GATES,
                source=SOURCE_GATES,
                span=facts.span,
            ),
        )
    ordered = gates_in_order(facts, facts.gates)
    times = decision_times(facts, ordered, limits)
    return tuple(
        _of_gate(gate, decided, facts)
        for gate, decided in zip(ordered, times, strict=True)
    )


def _of_gate(gate: Gate, decided: DecisionTime, facts: TripFacts) -> Finding:
    severity, reason = _judge(gate, decided)
    is_late = reason is Reason.DECIDED_TOO_LATE
    remedy = Remedy.CHANGE_TIMES if is_late else Remedy.PLAN_GATES
    numbers: list[Number] = []
    if decided.at is not None:
        numbers.append(Number("decide_by", decided.at, "UTC"))
    if decided.planned is not None:
        numbers.append(Number("planned", decided.planned, "UTC"))
    if decided.typed is not None:
        numbers.append(Number("typed", decided.typed, "UTC"))
    return Finding(
        rule=Rule.GATES,
        about=gate.name,
        about_id=gate.id,
        severity=severity,
        reason=reason,
        remedy=Remedy.NOTHING if severity is Severity.CLEAR else remedy,
        source=SOURCE_GATES,
        basis=_told(gate),
        numbers=tuple(numbers),
        notes=(Note.TYPED_TOO_LATE,) if decided.is_typed_too_late else (),
        span=facts.span,
    )


def _told(gate: Gate) -> str:
    parts = (("Go on only if", gate.must_see), ("Else", gate.fallback))
    return ". ".join(f"{word}: {said.strip()}" for word, said in parts if said.strip())


def _judge(gate: Gate, decided: DecisionTime) -> tuple[Severity, Reason]:
    """A proven stop first; a late tide proves nothing where it is not known."""
    is_doubtful = decided.because in _BY_TIDE and bool(
        {Missing.TIDE, Missing.FLOODING} & set(decided.missing)
    )
    if decided.is_late and not is_doubtful:
        return Severity.STOP, Reason.DECIDED_TOO_LATE
    if not gate.fallback.strip():
        return Severity.UNKNOWN, Reason.NO_FALLBACK
    if not gate.must_see.strip():
        return Severity.UNKNOWN, Reason.NO_MUST_SEE
    if not decided.is_known:
        return Severity.UNKNOWN, Reason.NO_DECISION_TIME
    return Severity.CLEAR, Reason.GATE_SET
