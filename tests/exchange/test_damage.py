"""However a file is damaged, it is read whole or refused in one sentence."""

from __future__ import annotations

import io
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldtrip.errors import UserError
from fieldtrip.exchange.files_in import read_file
from fieldtrip.exchange.found import MOST_PLACES, Found
from fieldtrip.exchange.gpx import read_gpx
from fieldtrip.exchange.outgoing import place_bytes
from fieldtrip.places.records import Shape
from tests.exchange.photos import photo
from tests.exchange.story import whole_coast

DAMAGE = st.lists(
    st.tuples(st.floats(0.0, 0.999), st.sampled_from(["cut", "swap", "drop", "more"]),
              st.binary(min_size=1, max_size=6)),
    min_size=1, max_size=4,
)  # fmt: skip
# What a hand, a disk or an enemy puts in the middle of a file.
PIECES = st.sampled_from(
    [b"\0", b"\xff\xfe", b"&x;", b"]]>", b"</", b"<a>", b"NaN", b"-", b"1e999", b'"',
     b"<!DOCTYPE x>", b"null", b"[[", b"}", "é".encode("latin-1"), b"999999"]
)  # fmt: skip


def damaged(data: bytes, damage: list[tuple[float, str, bytes]]) -> bytes:
    for share, how, piece in damage:
        at = int(share * len(data))
        match how:
            case "cut":
                data = data[:at]
            case "swap":
                data = data[:at] + piece + data[at + len(piece) :]
            case "drop":
                data = data[:at] + data[at + len(piece) :]
            case "more":
                data = data[:at] + piece + data[at:]
    return data


def read(data: bytes) -> Found | str:
    """What a file of these bytes holds, or why it is refused."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "file"
        path.write_bytes(data)
        try:
            return read_file(path)
        except UserError as error:
            return str(error)


def assert_sound(found: Found | str) -> None:
    """Refused in one sentence, or fit for the rest of the program."""
    if isinstance(found, str):
        assert "\n" not in found
        assert found.endswith(".")
        return
    for place in found.places:
        least = {Shape.POINT: 1, Shape.LINE: 2, Shape.AREA: 3}[place.shape]
        assert all(len(part.line) >= least for part in place.parts)
        assert place.time is None or place.time.tzinfo is not None
        place.name.encode()
        place.notes.encode()


@pytest.mark.parametrize("file_format", ["gpx", "geojson", "kml"])
@settings(max_examples=150)
@given(damage=DAMAGE, pieces=st.lists(PIECES, max_size=2))
def test_no_damage_to_a_file_of_places_is_a_fault_of_the_program(
    file_format: str, damage: list[tuple[float, str, bytes]], pieces: list[bytes]
) -> None:
    data = damaged(place_bytes(whole_coast(), file_format), damage)
    for piece in pieces:
        data = data[: len(data) // 2] + piece + data[len(data) // 2 :]

    assert_sound(read(data))


@settings(max_examples=100)
@given(damage=DAMAGE)
def test_no_damage_to_a_photograph_is_a_fault_of_the_program(
    damage: list[tuple[float, str, bytes]],
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        whole = photo(Path(folder) / "a.jpg", size=(64, 48)).read_bytes()
    # Most of the damage to the head, where the tags are.
    head = damaged(whole[:600], damage)

    assert_sound(read(head + whole[600:]))


def test_a_file_of_more_things_than_a_library_could_bear_is_refused() -> None:
    text = io.StringIO()
    text.write('<gpx xmlns="http://www.topografix.com/GPX/1/1">')
    text.writelines('<wpt lat="1" lon="2"/>' for _ in range(MOST_PLACES + 1))
    text.write("</gpx>")

    with pytest.raises(UserError, match="holds 10,001 things"):
        read_gpx(text.getvalue().encode(), "many.gpx")
