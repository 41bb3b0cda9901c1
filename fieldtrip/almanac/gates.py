"""The gates of a trip in words: where, by when and why then, and what else to do."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from fieldtrip.finding_numbers import earlier_minute
from fieldtrip.places.records import Leg
from fieldtrip.safety.decision_times import (
    Because,
    DecisionTime,
    Missing,
    decision_times,
)
from fieldtrip.safety.limit_specs import limits_from
from fieldtrip.safety.limits import Limits
from fieldtrip.settings import Settings
from fieldtrip.trips.gates import gates_in_order
from fieldtrip.trips.plan import TripFacts
from fieldtrip.trips.records import Gate, GateKind
from fieldtrip.wording import when_text

NOT_SEEN = "Nobody has said what must be seen there."
NO_FALLBACK = "Nobody has said what to do instead."
NO_GATES = "No gate yet: nothing says where to turn back while there is time."
_WHERE = {
    GateKind.HOME: "before leaving home",
    GateKind.START: "at the start",
}
_BECAUSE = {
    Because.TIDE: "“{about}” shuts after that, with its margins",
    Because.FLOODED: "the sea reaches “{about}” after that, with its margins",
    Because.DAYLIGHT: "it is too dark for “{about}” after that",
    Because.LATEST_RETURN: "the latest return asks for it",
    Because.PLACE_SHUTS: "“{about}” shuts",
    Because.TYPED: "typed, and no later than the plan allows",
}
_MISSING = {
    Missing.NOT_NAMED: "The gate names no leg and no stop, so nothing is reckoned.",
    Missing.NOT_IN_PLAN: "What it stands before is not in the plan.",
    Missing.NO_WALK_AFTER: "No walk is planned after it.",
    Missing.NO_LATEST_RETURN: "The trip has no latest return.",
    Missing.LEG_GONE: "A leg after it is no longer there.",
    Missing.LEG_TIME: "The climb or the ground of a leg after it is not known.",
    Missing.LEG_LIGHT: "Whether a leg after it can be walked in the dark is not known.",
    Missing.TIDE: "The tide of a crossing after it is not known well enough.",
    Missing.SHUT: "A crossing or spot after it is not open with all margins.",
    Missing.FLOODING: "The tide at the spot is not known well enough.",
    Missing.END_NOT_NAMED: "The trip does not say where it ends.",
    Missing.END_HOURS: "Whether the place where the trip ends shuts is not known.",
    Missing.BEFORE_WALKING: (
        "The drive or the time to kit up is not known, so it may have to be sooner."
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class GateWords:
    """One gate, and every text about it."""

    gate: Gate
    decision: DecisionTime
    where: str  # "before the leg “Bar”"
    by: str  # "Decide by 15:40"
    why: str  # "“Bar” shuts after that, with its margins"; may be empty
    planned: str  # "The plan is there at 15:05."; may be empty
    must_see: str
    fallback: str
    cautions: tuple[str, ...]  # what is wrong or not known, in sentences

    @property
    def text(self) -> str:
        """All but its name, as sentences."""
        why = f" ({self.why})" if self.why else ""
        parts = (
            f"{self.by}{why}.",
            self.planned,
            *self.cautions,
            _said("Go on only if", self.must_see, NOT_SEEN),
            _said("Else", self.fallback, NO_FALLBACK),
        )
        return " ".join(part for part in parts if part)


def gates_in_words(
    facts: TripFacts, settings: Settings, limits: Limits | None = None
) -> tuple[GateWords, ...]:
    """The gates of a trip, as the day comes to them."""
    used = limits or limits_from(settings.limits)
    gates = gates_in_order(facts, facts.gates)
    return tuple(
        _words(gate, decided, facts, settings)
        for gate, decided in zip(gates, decision_times(facts, gates, used), strict=True)
    )


def because_text(because: Because, about: str) -> str:
    """What sets a time by which to decide or to start."""
    return _BECAUSE[because].format(about=about)


def _words(
    gate: Gate, decision: DecisionTime, facts: TripFacts, settings: Settings
) -> GateWords:
    def when(instant: datetime) -> str:
        zone, day = facts.location.zone, facts.trip.day
        return when_text(earlier_minute(instant), zone, settings, day)

    by, why, planned = "By when to decide is not known", "", ""
    if decision.at is not None:
        by = f"Decide by {when(decision.at)}"
    if decision.because is not None:
        why = because_text(decision.because, decision.about)
    if decision.planned is not None:
        planned = f"The plan is there at {when(decision.planned)}."
    cautions = [_MISSING[missing] for missing in decision.missing]
    if decision.is_typed_too_late and decision.typed and decision.computed:
        cautions.insert(
            0,
            f"The typed time, {when(decision.typed)}, is later than the plan allows "
            "and does not count.",
        )
    if decision.is_late:
        cautions.insert(0, "The plan comes to it too late.")
    return GateWords(
        gate=gate,
        decision=decision,
        where=_where(gate, facts),
        by=by,
        why=why,
        planned=planned,
        must_see=gate.must_see.strip() or NOT_SEEN,
        fallback=gate.fallback.strip() or NO_FALLBACK,
        cautions=tuple(cautions),
    )


def _said(what: str, text: str, unsaid: str) -> str:
    if text == unsaid:
        return unsaid
    return f"{what}: {text}" if text[-1:] in ".!?" else f"{what}: {text}."


def _where(gate: Gate, facts: TripFacts) -> str:
    if gate.leg_id is not None:
        leg = _leg(gate, facts)
        return "before a leg that is gone" if leg is None else f"before “{leg.name}”"
    if gate.vantage_point_id is not None:
        for stop in facts.stops:
            if stop.stop.vantage_point_id == gate.vantage_point_id:
                return f"at “{stop.name}”"
        return "at a stop that is gone"
    if gate.kind in _WHERE:
        return _WHERE[gate.kind]
    return "elsewhere" if gate.kind is GateKind.OTHER else f"{gate.kind}, none named"


def _leg(gate: Gate, facts: TripFacts) -> Leg | None:
    legs = (walk.leg for walk in facts.walks if walk.leg is not None)
    return next((leg for leg in legs if leg.id == gate.leg_id), None)
