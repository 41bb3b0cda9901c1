"""What the user looks at: one place, one day and one minute for the whole window."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from uuid import UUID

from PySide6.QtCore import QObject, Signal

from fieldtrip.places.records import Subject, VantagePoint
from fieldtrip.trips.records import Trip


class Selection(QObject):
    """Every panel follows this; none keeps a place or a time of its own.

    Records are kept by id, so that an edited or undone record is never shown
    as it was.  The minute always lies on the chosen day.
    """

    changed = Signal()  # place, record or day
    minuteChanged = Signal()  # the minute, alone or with the day

    def __init__(
        self, day: date, instant: datetime, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.location_id: UUID | None = None
        self.record_kind: type | None = None  # of what the card shows
        self.record_id: UUID | None = None
        self.picked: frozenset[UUID] = frozenset()  # chosen together; empty: just one
        self.vantage_point_id: UUID | None = None  # where the rays start
        self.subject_id: UUID | None = None  # what the light falls on
        self.trip_id: UUID | None = None  # what the plan and the checks speak of
        self.day = day  # in the location's zone
        self.instant = instant  # UTC

    def choose(self, record: object | None, location_id: UUID | None) -> None:
        """Show a record of a location on the card, and what goes with it.

        Vantage point, subject and trip stay chosen until another location is.
        """
        before = self._state()
        if location_id != self.location_id:
            self.vantage_point_id = self.subject_id = self.trip_id = None
        self.location_id = location_id
        self.picked = frozenset()
        self.record_kind = type(record) if record is not None else None
        self.record_id = getattr(record, "id", None)
        match record:
            case VantagePoint(id=record_id):
                self.vantage_point_id = record_id
            case Subject(id=record_id):
                self.subject_id = record_id
            case Trip(id=record_id):
                self.trip_id = record_id
        if self._state() != before:
            self.changed.emit()

    def pick(self, *record_ids: UUID) -> None:
        """Choose these together with what the card shows, or let go of them again.

        Until another choice is made, what is chosen is `picked`: the record of the
        card and at least one more.
        """
        if self.record_id is None:
            return
        before = self._state()
        picked = self.picked | {self.record_id}
        for record_id in record_ids:
            if record_id != self.record_id:  # the card keeps what it shows
                picked ^= {record_id}
        self.picked = picked if len(picked) > 1 else frozenset()
        if self._state() != before:
            self.changed.emit()

    def choose_time(self, day: date, instant: datetime) -> None:
        """Set day and minute; the caller knows that the one lies on the other."""
        day_before, instant_before = self.day, self.instant
        self.day, self.instant = day, whole_minute(instant)
        if day != day_before:
            self.changed.emit()
        if self.instant != instant_before:
            self.minuteChanged.emit()

    def use(
        self,
        *,
        vantage_point_id: UUID | None = None,
        subject_id: UUID | None = None,
        trip_id: UUID | None = None,
    ) -> None:
        """Choose where one stands, what is photographed or the trip; card unchanged."""
        before = self._state()
        self.vantage_point_id = vantage_point_id or self.vantage_point_id
        self.subject_id = subject_id or self.subject_id
        self.trip_id = trip_id or self.trip_id
        if self._state() != before:
            self.changed.emit()

    def _state(self) -> tuple[object, ...]:
        return (
            self.location_id,
            self.record_id,
            self.picked,
            self.vantage_point_id,
            self.subject_id,
            self.trip_id,
            self.day,
        )


def whole_minute(instant: datetime) -> datetime:
    """The minute in which an instant lies."""
    return instant - timedelta(seconds=instant.second, microseconds=instant.microsecond)
