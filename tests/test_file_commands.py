"""Places in and out on the command line: all or nothing, and said in JSON."""

from __future__ import annotations

import errno
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from fieldtrip import commands
from fieldtrip.places.records import (
    AccessNote,
    AccessRoute,
    Hazard,
    Leg,
    Location,
    Subject,
    VantagePoint,
)
from fieldtrip.store.store import Change, Store
from fieldtrip.trips.dossier import Dossier
from tests.exchange.photos import TIMES, photo
from tests.exchange.story import ANVIL, ROCK, whole_coast

POINT = (
    '<gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1">'
    '<wpt lat="{}" lon="{}"><name>{}</name></wpt></gpx>'
)


def records(dossier: Dossier) -> list[Any]:
    return [
        dossier.location,
        *dossier.vantage_points,
        *dossier.subjects,
        *dossier.routes,
        *dossier.refuges,
        *dossier.start_places,
        *dossier.legs,
        *dossier.hazards,
        *dossier.closures,
        *dossier.notes,
    ]


@pytest.fixture
def library(tmp_path: Path) -> Path:
    """A library of one location."""
    path = tmp_path / "coast.fieldtrip"
    store = Store.open(path)
    store.apply([Change(None, record) for record in records(whole_coast())])
    store.close()
    return path


def kept(path: Path, name: str = ANVIL.name) -> Dossier:
    store = Store.open_to_read(path)
    try:
        (location,) = (x for x in store.locations() if x.name == name)
        return store.dossier(location.id)
    finally:
        store.close()


def counts(path: Path) -> list[int]:
    store = Store.open_to_read(path)
    kinds = (Location, VantagePoint, Subject, AccessRoute, Leg, Hazard, AccessNote)
    try:
        return [len(store.all(kind)) for kind in kinds]
    finally:
        store.close()


def answered(capsys: pytest.CaptureFixture[str], *arguments: object) -> Any:
    code = commands.main([str(argument) for argument in arguments])
    said = capsys.readouterr()
    assert (code, said.err) == (0, "")
    return json.loads(said.out)


def refused(capsys: pytest.CaptureFixture[str], *arguments: object) -> str:
    code = commands.main([str(argument) for argument in arguments])
    said = capsys.readouterr()
    assert (code, said.out) == (64, "")
    assert said.err.count("\n") == 1
    return said.err


@pytest.mark.parametrize("file_format", ["gpx", "geojson", "kml"])
def test_a_location_goes_out_and_comes_into_another_library(
    file_format: str,
    library: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    out, other = tmp_path / f"anvil.{file_format}", tmp_path / "other.fieldtrip"
    export = ("--location", "anvil strand", "--format", file_format, "--out", out)
    before = library.read_bytes()

    written = answered(capsys, "export", "--library", library, *export)
    came = answered(capsys, "import", out, "--library", other)

    assert written["written"]["hazard"] == 3
    (file,) = came["files"]
    assert (file["location"], file["location_is_new"]) == ("Anvil Strand", True)
    assert file["added"] == {
        name: count for name, count in written["written"].items() if name != "location"
    }
    assert file["duplicates"] == []
    assert counts(other) == counts(library)
    back = kept(other)
    (rock,) = back.vantage_points
    assert rock == replace(ROCK, id=rock.id, location_id=back.location.id)
    assert library.read_bytes() == before


def test_taking_the_same_file_in_again_adds_nothing(
    library: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "anvil.gpx"
    export = ("--location", ANVIL.id, "--format", "gpx", "--out", out)
    answered(capsys, "export", "--library", library, *export)
    before = counts(library), kept(library)

    (file,) = answered(capsys, "import", out, "--library", library)["files"]

    assert file["added"] == {}
    assert {twin["why"] for twin in file["duplicates"]} == {"same name", "same words"}
    assert (counts(library), kept(library)) == before


@pytest.mark.parametrize(("how", "added"), [("merge", 0), ("add", 1), ("skip", 0)])
def test_duplicates_are_merged_added_or_skipped(
    how: str,
    added: int,
    library: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    file = tmp_path / "a.gpx"
    file.write_text(POINT.format(49.62105, -8.421, "Another name"))  # 5.6 m north

    (told,) = answered(
        capsys, "import", file, "--library", library, "--duplicates", how
    )["files"]

    assert [(t["is_like"], t["why"]) for t in told["duplicates"]] == [
        ("Flat rock", "6 m away")
    ]
    assert len(kept(library).vantage_points) == 1 + added


def test_a_thing_that_is_in_a_file_twice_is_taken_once(
    library: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = POINT.format(49.7, -8.5, "New arch")
    wpt = text[text.index("<wpt") : text.index("</wpt>") + len("</wpt>")]
    path = tmp_path / "a.gpx"
    path.write_text(text.replace(wpt, wpt + wpt))

    (file,) = answered(capsys, "import", path, "--library", library)["files"]

    assert file["added"] == {"vantage point": 1}
    assert file["remarks"] == ["New arch: in the file more than once; taken once."]


def test_two_files_with_one_thing_are_told_apart(
    library: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in ("a.gpx", "b.gpx"):
        (tmp_path / name).write_text(POINT.format(49.7, -8.5, "New arch"))

    files = answered(
        capsys, "import", tmp_path / "a.gpx", tmp_path / "b.gpx", "--library", library
    )["files"]

    assert [file["added"] for file in files] == [{"vantage point": 1}, {}]
    assert files[1]["duplicates"][0]["done"] == "merged"


def test_a_name_that_is_new_makes_a_location_with_the_zone_of_its_land(
    library: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "a.gpx"
    file.write_text(POINT.format(53.3, -6.2, "Pier"))

    answered(capsys, "import", file, "--library", library, "--location", "Second bay")

    second = kept(library, "Second bay")
    assert second.location.zone == "Europe/Dublin"
    assert [point.name for point in second.vantage_points] == ["Pier"]


def test_one_bad_file_among_good_ones_changes_nothing(
    library: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    good, bad = tmp_path / "a.gpx", tmp_path / "b.gpx"
    good.write_text(POINT.format(49.7, -8.5, "New arch"))
    bad.write_text(POINT.format(999, -8.5, "Nowhere"))
    before = library.read_bytes()

    said = refused(capsys, "import", good, bad, "--library", library)

    assert "999 is no latitude" in said
    assert library.read_bytes() == before


def test_a_library_that_nothing_came_into_is_not_left_behind(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "a.gpx"
    file.write_text(POINT.format(0.5, -30.0, "Open sea"))

    said = refused(capsys, "import", file, "--library", tmp_path / "new.fieldtrip")

    assert "the time zone of the new location is not known" in said
    assert [found.name for found in tmp_path.iterdir()] == ["a.gpx"]


def test_a_photograph_without_a_zone_asks_for_one(
    library: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = photo(tmp_path / "IMG_1.jpg", times={0x9003: TIMES[0x9003]})

    said = refused(capsys, "import", file, "--library", library)
    answered(
        capsys, "import", file, "--library", library, "--photo-zone", "Europe/Dublin"
    )

    assert "does not say in which zone its clock was" in said
    (point,) = (v for v in kept(library).vantage_points if v.name == "IMG_1")
    assert point.notes == (
        "Photograph IMG_1.jpg, taken Saturday 15 August 2026 at 20:14 IST (UTC+1), "
        "looking 286° true."
    )


def test_a_full_disk_leaves_the_old_file_whole(
    library: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    out = tmp_path / "anvil.gpx"
    out.write_text("the old file")

    def half(path: Path, data: bytes) -> int:
        with path.open("wb") as file:
            file.write(data[: len(data) // 2])
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", half)
    export = ("--location", ANVIL.name, "--format", "gpx", "--out", out)
    said = refused(capsys, "export", "--library", library, *export)

    assert "No space left on device" in said
    assert out.read_text() == "the old file"
    assert not out.with_name("anvil.gpx.part").exists()


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        (
            ["export", "--location", "Nowhere", "--format", "gpx", "--out", "x"],
            "There is",
        ),
        (
            ["export", "--location", "Anvil Strand", "--format", "shp", "--out", "x"],
            "shp",
        ),
        (["import"], "FILE"),
        (["import", "missing.gpx"], "There is no file “missing.gpx” there"),
        (["import", "."], "is a folder"),
    ],
)
def test_what_cannot_be_used_is_said(
    arguments: list[str],
    reason: str,
    library: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert reason in refused(capsys, *arguments, "--library", library)


def test_a_library_is_never_written_over_by_an_export(
    library: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    export = ("--location", ANVIL.name, "--format", "gpx", "--out", library)

    said = refused(capsys, "export", "--library", library, *export)

    assert "That is the library itself" in said
    assert kept(library).location == ANVIL


def test_with_several_locations_it_asks_where_things_go(
    library: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    store = Store.open(library)
    store.apply(
        [Change(None, Location(name="Far bay", position=ROCK.position, zone="UTC"))]
    )
    store.close()
    file = tmp_path / "a.gpx"
    file.write_text(POINT.format(49.7, -8.5, "New arch"))

    said = refused(capsys, "import", file, "--library", library)

    assert said.startswith("Say with --location where “a.gpx” goes.")
    assert "“Anvil Strand”, “Far bay”" in said
