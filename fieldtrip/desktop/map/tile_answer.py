"""What an answer of a tile server is worth, and how its troubles are told."""

from __future__ import annotations

from dataclasses import dataclass

from fieldtrip.material.tiles import picture_type

LARGEST_BYTES = 2_000_000  # far above any sound tile
_MISSING = (204, 404, 410)


@dataclass(frozen=True, slots=True)
class TileAnswer:
    """A picture, or nothing at that place, or trouble in one sentence."""

    picture: bytes = b""
    trouble: str = ""


def judged(host: str, status: int, body: bytes) -> TileAnswer:
    """The answer of a server that did answer."""
    if status in _MISSING:
        return TileAnswer()
    if status == 429:
        return TileAnswer(trouble=f"{host} asks to be left alone for a while (429).")
    if status in (401, 403):
        return TileAnswer(
            trouble=f"{host} refuses its tiles ({status}): it may want a key, or not "
            "allow this use."
        )
    if 300 <= status < 400:
        return TileAnswer(
            trouble=f"{host} sends its tiles from another place, which is not followed."
        )
    if status != 200:
        return TileAnswer(trouble=f"{host} has a fault of its own ({status}).")
    if len(body) > LARGEST_BYTES:
        return too_large(host)
    if picture_type(body) is None:
        return TileAnswer(
            trouble=f"{host} answers with something that is no picture (PNG, JPEG or "
            "WebP)."
        )
    return TileAnswer(picture=body)


def too_large(host: str) -> TileAnswer:
    """More than any tile has."""
    return TileAnswer(trouble=f"{host} sends more than a tile can hold; it is left.")


def too_late(host: str) -> TileAnswer:
    """Nothing, or too slowly."""
    return TileAnswer(trouble=f"{host} does not answer.")


def not_reached(host: str) -> TileAnswer:
    """No connection, or none that is safe."""
    return TileAnswer(trouble=f"{host} cannot be reached.")


def wait_text(seconds: float) -> str:
    """When it is asked again."""
    if seconds < 90.0:
        return f"It is asked again in {max(1, round(seconds))} seconds."
    return f"It is asked again in {round(seconds / 60.0)} minutes."
