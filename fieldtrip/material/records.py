"""What lies below our own layers on the map, as the user has arranged it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field, replace
from enum import StrEnum
from typing import Any
from uuid import UUID, uuid4


class Kind(StrEnum):
    """What sort of material it is."""

    COAST = "coastline"
    PICTURES = "map pictures"  # a file
    SERVER = "tile server"
    DRAWING = "drawing"  # a GeoJSON file


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """One sheet of the stack."""

    kind: Kind
    name: str
    source: str = ""  # path of a file, or the address pattern of a server
    credit: str = ""  # whose it is, where the user must say; may hold HTML
    is_on: bool = True
    opacity_percent: int = 100
    finest_zoom: int = 19  # of a server: beyond it, its pictures are enlarged
    id: UUID = field(default_factory=uuid4)


Stack = tuple[Material, ...]  # the uppermost first


def usual_stack(*, has_coast: bool = True) -> Stack:
    """The coastline alone, switched on or off."""
    return (Material(kind=Kind.COAST, name="Coastline", is_on=has_coast),)


def moved(stack: Stack, material_id: UUID, by: int) -> Stack:
    """The stack with one sheet so many places lower (below 0: higher)."""
    place = next(k for k, each in enumerate(stack) if each.id == material_id)
    rest = [each for each in stack if each.id != material_id]
    rest.insert(min(max(place + by, 0), len(rest)), stack[place])
    return tuple(rest)


def changed(stack: Stack, material_id: UUID, **values: Any) -> Stack:
    """The stack with one sheet changed."""
    return tuple(
        replace(each, **values) if each.id == material_id else each for each in stack
    )


def kept_values(stack: Stack) -> list[dict[str, Any]]:
    """The stack as plain values for a file."""
    return [{**asdict(each), "id": str(each.id)} for each in stack]


def stack_from(values: object) -> Stack:
    """A stack from plain values; what is unsound is left out.

    There is one coastline always, at the bottom where none was kept.
    """
    found: list[Material] = []
    for value in values if isinstance(values, Iterable) else ():
        material = _material(value)
        if material is None or any(each.id == material.id for each in found):
            continue
        if material.kind is Kind.COAST and any(e.kind is Kind.COAST for e in found):
            continue
        found.append(material)
    if not any(each.kind is Kind.COAST for each in found):
        found += usual_stack()
    return tuple(found)


def _material(value: object) -> Material | None:
    if not isinstance(value, Mapping):
        return None
    usual = {"source": "", "credit": "", "is_on": False, "opacity_percent": 100}
    usual |= {"finest_zoom": 19}
    match {**usual, **value}:
        case {
            "kind": str(kind),
            "name": str(name),
            "source": str(source),
            "credit": str(credit),
            "is_on": bool(is_on),
            "opacity_percent": int(opacity),
            "finest_zoom": int(finest_zoom),
            "id": str(number),
        } if kind in set(Kind) and 0 <= opacity <= 100 and 0 <= finest_zoom <= 30:
            try:
                material_id = UUID(number)
            except ValueError:
                return None
            return Material(
                kind=Kind(kind),
                name=name,
                source=source,
                credit=credit,
                is_on=is_on,
                opacity_percent=opacity,
                finest_zoom=finest_zoom,
                id=material_id,
            )
    return None
