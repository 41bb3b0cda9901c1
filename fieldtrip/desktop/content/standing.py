"""What a location's card says of permits and closures on the chosen day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from fieldtrip.places.closures import Force, closure_state, has_expired
from fieldtrip.places.records import Closure, ClosureKind
from fieldtrip.settings import Settings
from fieldtrip.trips.dossier import Dossier
from fieldtrip.wording import closure_text, date_text, permit_text

# The shapes that findings have too: caution, and not known.
_CAUTION, _UNKNOWN = "▲", "?"


def standing_text(dossier: Dossier, day: date, settings: Settings) -> str:
    """Closures that hold on a day, or may, and permits that no longer do.

    One line each, below one that names the day; empty where there is none.
    """
    lines = [*_closures(dossier, day, settings), *_permits(dossier, day)]
    return "\n".join([f"On {date_text(day)}:", *lines]) if lines else ""


def _closures(dossier: Dossier, day: date, settings: Settings) -> Iterator[str]:
    for closure in dossier.closures:
        force = closure_state(closure, day).force
        if force is not Force.NONE:
            mark = _UNKNOWN if force is Force.UNKNOWN else _CAUTION
            words = closure_text(closure, day, settings)
            yield f"{mark} “{closure.name}”{_kind(closure)}: {words}."


def _permits(dossier: Dossier, day: date) -> Iterator[str]:
    for permit in dossier.permits:
        if has_expired(permit, day):
            yield f"{_CAUTION} Permit “{permit.name}” {permit_text(permit, day)}."


def _kind(closure: Closure) -> str:
    return "" if closure.kind is ClosureKind.OTHER else f" ({closure.kind})"
