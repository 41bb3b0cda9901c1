"""Makes and changes a trip's plan: by one key, by hand on the strip, by a choice."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import partial
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from fieldtrip.desktop.charts.day_strip import DayStripChart
from fieldtrip.desktop.charts.strip_drag import on_step
from fieldtrip.desktop.content.accepted_tides import acceptance, acceptances
from fieldtrip.desktop.content.plan_deeds import (
    GONE,
    Moved,
    breaks_words,
    dropping,
    left_out_words,
    lets_order_go,
    moved_changes,
    moved_words,
    moving,
    pinning,
    planned_as,
    relaxing,
    spot_name,
    using,
)
from fieldtrip.desktop.content.plan_page import NO_STOPS, NO_TRIP, asked_of
from fieldtrip.desktop.jobs import Jobs
from fieldtrip.desktop.library import Library
from fieldtrip.desktop.preferences import Preferences
from fieldtrip.desktop.selection import Selection
from fieldtrip.errors import UserError
from fieldtrip.plan_phrasing import critical_text
from fieldtrip.planning.asking import Asked
from fieldtrip.planning.planned import Planned, planned
from fieldtrip.store.changes import Change
from fieldtrip.trips.answer import Alternative, Conflict, Plan, Relaxation
from fieldtrip.trips.dossier import Dossier, by_id
from fieldtrip.trips.records import Trip
from fieldtrip.wording import clock_text

_MAKING, _DRAGGING = "make the plan", "drag a stop"
_CHANGED = "The trip was changed meanwhile. Try again."


def _utc_now() -> datetime:
    return datetime.now(UTC)


@dataclass(frozen=True, slots=True)
class _Drag:
    """A stop on its way."""

    stop_id: UUID
    arrive: datetime


class PlanWork(QObject):
    """Plans in the background; whatever it writes is one step of undo."""

    told = Signal(str)
    pageAsked = Signal()  # the Plan page has more to say
    orderChanged = Signal()  # whether a trip keeps its order

    def __init__(
        self,
        library: Library,
        selection: Selection,
        preferences: Preferences,
        jobs: Jobs,
        parent: QObject | None = None,
        *,
        now: Callable[[], datetime] = _utc_now,
    ) -> None:
        super().__init__(parent)
        self._library = library
        self._selection = selection
        self._preferences = preferences
        self._jobs = jobs
        self._now = now
        self._chart: DayStripChart | None = None
        self._ordered: set[UUID] = set()  # trips whose stops keep their order
        self._drag: _Drag | None = None  # the newest that was asked about
        self._is_asking = False

    def attach(self, chart: DayStripChart) -> None:
        """Listen to what is done by hand on the strip."""
        self._chart = chart
        chart.stopDragged.connect(self.drag)
        chart.stopDropped.connect(self.move)
        chart.spotDropped.connect(self.drop)

    # What is asked

    def keeps_order(self, trip_id: UUID | None) -> bool:
        """Whether the stops of a trip stay in the order of their numbers."""
        return trip_id in self._ordered

    def keep_order(self, trip_id: UUID, is_kept: bool) -> None:
        """Let a trip keep the order of its stops, until the window closes."""
        if is_kept == self.keeps_order(trip_id):
            return
        (self._ordered.add if is_kept else self._ordered.discard)(trip_id)
        self.orderChanged.emit()

    def found(self) -> tuple[Dossier, Trip] | None:
        """The chosen trip, with all about its place."""
        dossier = self._library.dossier(self._selection.location_id)
        trip = None if dossier is None else self._trip_of(dossier)
        return None if dossier is None or trip is None else (dossier, trip)

    def asked(self, dossier: Dossier, trip: Trip) -> Asked:
        """What is asked with a trip."""
        is_kept = self.keeps_order(trip.id)
        settings = self._preferences.settings
        return asked_of(dossier, trip, settings, keeps_order=is_kept)

    # Making the plan

    def make(self) -> None:
        """Plan the chosen trip and write the plan down, as one step of undo."""
        dossier, trip = self._need_stops()
        self._start(planned, dossier, trip, self._now(), self.asked(dossier, trip))

    def use(self, plan: Plan, text: str = "make the plan") -> None:
        """Write a plan of the chosen trip down, as one step of undo."""
        dossier, trip = self._need()
        changes = using(dossier, trip, plan)
        left = left_out_words(dossier, trip, changes)
        self._library.change(text, changes)
        zone, settings = dossier.location.zone, self._preferences.settings
        critical = critical_text(plan, zone, settings)
        said = "The plan is made." if changes else "The trip is planned so already."
        self.told.emit(" ".join(each for each in (said, left, critical) if each))

    def use_other(self, other: Alternative) -> None:
        """Plan an alternative in full and write it down, as one step of undo."""
        dossier, trip = self._need_stops()
        asked = self.asked(dossier, trip)
        self._start(planned_as, dossier, trip, self._now(), asked, other)

    def _start(self, function: Callable[..., Planned], *values: object) -> None:
        dossier, trip = self._need()

        def show(found: Planned) -> None:
            if not self._is_still(dossier, trip):
                self.told.emit(_CHANGED)
                return
            plan = found.plan
            if plan is None:
                self.told.emit("No plan keeps all limits; the Plan page says why.")
                self.pageAsked.emit()
                return
            self._attempt(partial(self.use, plan))

        self._jobs.start(_MAKING, function, *values, done=show, failed=self._fail)

    # Giving something up

    def relax(self, relaxation: Relaxation) -> None:
        """Give up what a relaxation says, as one step of undo."""
        dossier, trip = self._need()
        removal_of = self._library.store.removal_of
        stops = {stop.id: stop for stop in dossier.stops_of(trip)}
        removals = {
            step.stop_id: removal_of(stops[step.stop_id])
            for step in relaxation.steps
            if step.stop_id in stops and step.stop_id is not None
        }
        changes = relaxing(dossier, trip, relaxation, removals)
        if changes:
            self._library.change("give up a limit of the plan", changes)
        if lets_order_go(relaxation):
            self.keep_order(trip.id, False)

    def accept(self, record_id: UUID, person: str, reason: str) -> None:
        """Keep why a leg or stop is taken although nothing is known of its tide.

        Raises `UserError` without a name or a reason.
        """
        dossier, trip = self._need()
        tick = acceptance(dossier, trip, record_id, self._now(), person, reason)
        self._library.add("accept a tide that is not known", tick)
        settings = self._preferences.settings
        if not settings.person.strip():
            self._preferences.settings = replace(settings, person=person.strip())

    def take_back(self, record_id: UUID) -> None:
        """Accept a leg or a stop no longer."""
        dossier, trip = self._need()
        tick = acceptances(dossier, trip).get(record_id)
        if tick is not None:
            self._library.remove("accept a tide that is not known no longer", tick)

    # By hand on the strip

    def drop(self, vantage_point_id: UUID, minute: datetime) -> None:
        """A vantage point becomes a stop of the chosen trip, or of a new one."""
        self._attempt(lambda: self._drop(vantage_point_id, minute))

    def _drop(self, vantage_point_id: UUID, minute: datetime) -> None:
        dossier = self._library.dossier(self._selection.location_id)
        if dossier is None:
            raise UserError("Choose the place of that vantage point first.")
        made = dropping(
            dossier,
            self._trip_of(dossier),
            self._selection.day,
            vantage_point_id,
            on_step(minute),
            self._preferences.settings,
        )
        is_new = by_id(dossier.trips, made.trip.id) is None
        text = "add trip with a stop" if is_new else "add stop"
        self._library.change(text, made.changes)
        if is_new:
            self._selection.choose(made.trip, dossier.location.id)
        self.told.emit(made.words)

    def drag(self, stop_id: UUID, arrive: datetime) -> None:
        """Say beside a stop on its way what its new time means.

        One answer is worked out at a time; of what was asked meanwhile only the last
        is asked again, so that a quick hand leaves no queue behind.
        """
        self._drag = _Drag(stop_id, arrive)
        if not self._is_asking:
            self._ask()

    def _ask(self) -> None:
        drag, found = self._drag, self.found()
        self._drag = None
        if drag is None or found is None:
            return
        dossier, trip = found
        self._is_asking = True

        def show(moved: Moved) -> None:
            self._is_asking = False
            words = moved_words(dossier, trip, moved)
            self._say(drag, words, fits=moved.planned.plan is not None)
            self._ask()

        def fail(error: Exception) -> None:
            self._is_asking = False
            if not isinstance(error, UserError):
                raise error
            self._say(drag, str(error), fits=False)
            self._ask()

        self._jobs.start(
            _DRAGGING,
            moving,
            dossier,
            trip,
            self._now(),
            self.asked(dossier, trip),
            drag.stop_id,
            drag.arrive,
            done=show,
            failed=fail,
        )

    def _say(self, drag: _Drag, words: str, *, fits: bool) -> None:
        chart = self._chart
        now = None if chart is None else chart.drag
        if chart is not None and now is not None and now.start == drag.arrive:
            chart.say_of_drag(drag.stop_id, words, fits=fits)

    def move(self, stop_id: UUID, arrive: datetime) -> None:
        """Pin a stop where it was put and fit the rest to it, as one step of undo.

        Where nothing fits it stays where it was, unless nothing fitted before either.
        """
        self._attempt(lambda: self._move(stop_id, arrive))

    def _move(self, stop_id: UUID, arrive: datetime) -> None:
        self._drag = None
        dossier, trip = self._need()
        stop = by_id(dossier.stops_of(trip), stop_id)
        if stop is None:
            raise UserError(GONE)
        name, zone = spot_name(dossier, stop), dossier.location.zone
        at = clock_text(arrive, zone, self._preferences.settings)

        def show(moved: Moved) -> None:
            if not self._is_still(dossier, trip):
                self.told.emit(_CHANGED)
                return
            answer, left = moved.planned.answer, ""
            changes = moved_changes(dossier, trip, moved)
            if isinstance(answer, Conflict):
                why = breaks_words(answer, stop_id)
                if not moved.is_stuck:
                    self.told.emit(f"{name} stays where it was. At {at} breaks: {why}.")
                    return
                said = f"{name} is pinned to {at}. No plan keeps all limits: {why}."
            else:
                left = left_out_words(dossier, trip, changes)
                said = f"{name} is pinned to {at}; the rest was fitted to it. {left}"
            self._change("move a stop", changes, said.strip())

        def fail(error: Exception) -> None:
            """A trip that cannot be planned at all can still be changed by hand."""
            if not isinstance(error, UserError) or not self._is_still(dossier, trip):
                self._fail(error)
                return
            said = f"{name} is pinned to {at}. {error}"
            self._change("move a stop", [pinning(stop, arrive)], said)

        self._jobs.start(
            _MAKING,
            _finally_moved,
            dossier,
            trip,
            self._now(),
            self.asked(dossier, trip),
            stop_id,
            arrive,
            done=show,
            failed=fail,
        )

    # Inside

    def _change(self, text: str, changes: Sequence[Change], said: str) -> None:
        def do() -> None:
            self._library.change(text, changes)
            self.told.emit(said)

        self._attempt(do)

    def _attempt(self, act: Callable[[], None]) -> None:
        try:
            act()
        except UserError as error:
            self.told.emit(str(error))

    def _fail(self, error: Exception) -> None:
        if not isinstance(error, UserError):
            raise error
        self.told.emit(str(error))

    def _trip_of(self, dossier: Dossier) -> Trip | None:
        return by_id(dossier.trips, self._selection.trip_id)

    def _need(self) -> tuple[Dossier, Trip]:
        found = self.found()
        if found is None:
            raise UserError(NO_TRIP)
        return found

    def _need_stops(self) -> tuple[Dossier, Trip]:
        dossier, trip = self._need()
        if not dossier.stops_of(trip):
            raise UserError(NO_STOPS.format(name=trip.name))
        return dossier, trip

    def _is_still(self, dossier: Dossier, trip: Trip) -> bool:
        """Whether all that a plan rests on is as it was when it was asked for."""
        now = self._library.dossier(trip.location_id)
        if now is None or self._selection.trip_id != trip.id:
            return False
        if now is dossier:
            return True
        # A kept run of the checks is no edit.
        return replace(now, check_runs=()) == replace(dossier, check_runs=())


def _finally_moved(
    dossier: Dossier,
    trip: Trip,
    now: datetime,
    asked: Asked,
    stop_id: UUID,
    arrive: datetime,
) -> Moved:
    return moving(dossier, trip, now, asked, stop_id, arrive, is_final=True)
