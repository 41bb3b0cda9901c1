"""Edges that only the elevation model shows, and a model that shows none."""

from __future__ import annotations

from dataclasses import replace

from fieldtrip.geo import destination
from fieldtrip.phrasing import words_of_all
from fieldtrip.places.records import Hazard
from fieldtrip.safety.checklist import check
from fieldtrip.safety.finding import Finding, Note, Reason, Rule, Severity
from fieldtrip.safety.limits import Limits
from fieldtrip.settings import Settings
from fieldtrip.trips.plan import facts_of
from fieldtrip.trips.plan_ground import ModelDrop, PlanGround, as_edges
from tests.safety.story import (
    CLEAR,
    LEG,
    LOCATION,
    NOW,
    TRIP,
    VANTAGE,
    Story,
    calm,
    edge_at,
)

CELL_M = 10.0


def drop_at(distance_m: float, height_m: float = 40.0) -> ModelDrop:
    """A drop that runs north and south, so far west of the vantage point."""
    middle = destination(VANTAGE.position, 270.0, distance_m)
    line = (destination(middle, 0.0, 200.0), destination(middle, 180.0, 200.0))
    return ModelDrop(line, height_m, CELL_M)


def findings(story: Story, rule: Rule, *drops: ModelDrop) -> list[Finding]:
    """Of the stop, with what the model shows near its vantage point."""
    ground = PlanGround({VANTAGE.id: drops})
    dossier = replace(story.dossier(), ground=ground)
    facts = facts_of(dossier, story.trip, NOW)
    return [f for f in check(facts, Limits()).findings if f.rule is rule]


def bare(*edges: Hazard) -> Story:
    """The story with these edges only, and no walks."""
    return replace(CLEAR, edges=edges, walks=())


def test_a_drop_counts_as_an_edge_of_which_nothing_is_known() -> None:
    (edge,) = findings(bare(), Rule.CLIFF_EDGE, drop_at(30.0))

    assert edge.severity is Severity.UNKNOWN
    assert edge.reason is Reason.SOFT_NOT_SAID
    assert Note.FENCE_NOT_SAID in edge.notes
    assert edge.about.endswith("a drop in the elevation model")
    assert edge.number("distance") is not None


def test_a_drop_counts_a_cell_nearer_than_it_is_drawn() -> None:
    (edge,) = findings(bare(), Rule.CLIFF_EDGE, drop_at(30.0))

    distance_m = edge.number("distance")
    assert distance_m is not None
    assert abs(distance_m - 20.0) < 0.1


def test_gusts_near_a_drop_stop_as_they_do_near_a_typed_edge() -> None:
    # Source: RNLI advice on coastal walks: gusts over 40 mph, 17.9 m/s.
    story = replace(bare(), forecast=calm(gust_m_s=18.0))

    (edge,) = findings(story, Rule.CLIFF_EDGE, drop_at(30.0))

    assert (edge.severity, edge.reason) == (Severity.STOP, Reason.GUST_STOP)


def test_a_drop_that_is_typed_already_counts_once() -> None:
    typed = bare(edge_at(30.0))

    (with_model,) = findings(typed, Rule.CLIFF_EDGE, drop_at(38.0))
    (without,) = findings(typed, Rule.CLIFF_EDGE)

    assert with_model == without


def test_a_drop_far_off_is_no_matter() -> None:
    (edge,) = findings(bare(), Rule.CLIFF_EDGE, drop_at(200.0))

    assert edge.severity is Severity.DOES_NOT_APPLY


def test_a_drop_that_nobody_recorded_is_unknown_and_cannot_be_ticked_away() -> None:
    (looked,) = findings(bare(), Rule.EDGE_LOOKED_FOR, drop_at(30.0, height_m=42.0))

    assert looked.severity is Severity.UNKNOWN
    assert looked.reason is Reason.EDGE_IN_MODEL_ONLY
    assert not looked.can_be_ticked
    (said,) = words_of_all((looked,), LOCATION.zone, Settings(), TRIP.day)
    assert "a drop of 42" in said.found


def test_a_model_that_shows_none_is_unknown_and_says_why() -> None:
    (looked,) = findings(bare(), Rule.EDGE_LOOKED_FOR)

    assert looked.severity is Severity.UNKNOWN
    assert looked.reason is Reason.NO_EDGE_RECORDED
    assert looked.notes == (Note.MODEL_SHOWS_NONE,)
    assert looked.can_be_ticked


def test_without_a_model_nothing_is_said_of_one() -> None:
    facts = facts_of(bare().dossier(), TRIP, NOW)

    (looked,) = [
        f for f in check(facts, Limits()).findings if f.rule is Rule.EDGE_LOOKED_FOR
    ]

    assert looked.notes == ()


def test_a_leg_on_which_a_fall_would_not_hurt_is_still_told_of_a_drop() -> None:
    story = replace(CLEAR, edges=(), leg=replace(LEG, is_exposed=False))
    ground = PlanGround({LEG.id: (ModelDrop(LEG.line, 30.0, CELL_M),)})
    dossier = replace(story.dossier(), ground=ground)

    found = check(facts_of(dossier, story.trip, NOW), Limits()).findings

    reasons = {f.about: f.reason for f in found if f.rule is Rule.EDGE_LOOKED_FOR}
    assert reasons[LEG.name] is Reason.EDGE_IN_MODEL_ONLY


def test_the_edges_of_a_model_keep_their_ids() -> None:
    first = as_edges((drop_at(30.0),), LOCATION.id)
    again = as_edges((drop_at(30.0),), LOCATION.id)

    assert first[0].id == again[0].id
    assert first[0].faults() == []
    assert first[0].is_fenced is None
