"""`fieldtrip check`: the same findings as JSON, and an exit status that can say no."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from fieldtrip import commands
from fieldtrip.safety.checklist import check
from fieldtrip.settings import Settings
from fieldtrip.settings_file import write_settings
from fieldtrip.store.store import Change, Record, Store
from fieldtrip.trips.records import CheckRun
from tests.safety.story import CLEAR, ROUTE, Story, calm

NOW = "--now=2026-08-15T12:00:00Z"


def written(path: Path, story: Story) -> Path:
    """A library file with the records of a story."""
    dossier = story.dossier()
    records: list[Record] = [dossier.location, *dossier.vantage_points, ROUTE]
    records += [*dossier.start_places]
    records += [*dossier.refuges, *dossier.legs, *dossier.hazards]
    records += [*dossier.tide_tables, *dossier.forecasts, *dossier.trips]
    records += [*dossier.stops, *dossier.walks, *dossier.ticks, *dossier.gates]
    records += [*dossier.permits, *dossier.closures]
    store = Store.open(path)
    store.apply(Change(None, record) for record in records)
    store.close()
    return path


@pytest.mark.parametrize(
    ("story", "overall", "status"),
    [
        (CLEAR, "clear", 0),
        (replace(CLEAR, forecast=calm(gust_m_s=13.0)), "caution", 1),
        (replace(CLEAR, tables=()), "unknown", 2),
        (CLEAR.walked_at(19, 0), "stop", 3),
    ],
)
def test_the_exit_status_is_the_worst_finding(
    story: Story,
    overall: str,
    status: int,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    library = written(tmp_path / "library.fieldtrip", story)

    code = commands.main(
        ["check", f"--library={library}", "--trip=morning on the bar", NOW]
    )

    answer = json.loads(capsys.readouterr().out)
    assert code == status
    assert answer["overall"] == overall


def test_it_reports_what_the_checklist_finds(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    library = written(tmp_path / "library.fieldtrip", CLEAR)
    expected = check(CLEAR.facts())

    commands.main(["check", f"--library={library}", f"--trip={CLEAR.trip.id}", NOW])

    answer = json.loads(capsys.readouterr().out)
    assert [(f["key"], f["severity"], f["reason"]) for f in answer["findings"]] == [
        (f.key, f.severity, f.reason) for f in expected.findings
    ]
    for finding in answer["findings"]:
        assert finding["source"]
        assert finding["found"]
        assert finding["span"]["start"].endswith("Z")
    assert answer["day"] == "2026-08-15"
    assert answer["cautions"]


def test_checking_changes_nothing_in_the_library(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    library = written(tmp_path / "library.fieldtrip", CLEAR)
    before = library.read_bytes()

    commands.main(["check", f"--library={library}", f"--trip={CLEAR.trip.id}", NOW])

    assert library.read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == ["library.fieldtrip"]
    store = Store.open(library)
    assert store.all(CheckRun) == []
    store.close()
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize(
    "arguments",
    [
        ["check"],
        ["check", "--library={library}", "--trip=Elsewhere"],
        ["check", "--library={library}.none", "--trip=Morning on the bar"],
        ["check", "--library={library}", "--trip=Morning on the bar", "--now=noon"],
    ],
)
def test_bad_input_is_one_sentence_and_64(
    arguments: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    library = written(tmp_path / "library.fieldtrip", CLEAR)

    code = commands.main([a.format(library=library) for a in arguments])

    said = capsys.readouterr()
    assert code == 64
    assert said.out == ""
    assert said.err.strip().endswith((".", "?"))
    assert not Path(f"{library}.none").exists()


def test_it_sees_what_an_open_window_has_saved(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    library = written(tmp_path / "library.fieldtrip", CLEAR)
    window = Store.open(library)
    window.apply([Change(CLEAR.trip, replace(CLEAR.trip, contact=""))])

    code = commands.main(["check", f"--library={library}", f"--trip={CLEAR.trip.id}"])

    window.close()
    assert code == 2
    assert json.loads(capsys.readouterr().out)["overall"] == "unknown"


def test_as_text_it_says_state_rule_and_numbers_with_the_same_status(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    windy = replace(CLEAR, forecast=calm(gust_m_s=19.0))
    library = written(tmp_path / "library.fieldtrip", windy)
    asked = ["check", f"--library={library}", f"--trip={CLEAR.trip.id}", NOW]

    as_json = commands.main([*asked, "--json"])
    answer = json.loads(capsys.readouterr().out)
    as_text = commands.main([*asked, "--text"])
    said = capsys.readouterr().out

    assert as_json == as_text == 3
    assert "stop: Cliff edge and gusts: The step, West edge [cliff_edge]" in said
    assert "gust 19.0 m/s" in said
    for finding in answer["findings"]:
        assert finding["found"] in said
    assert all(caution in said for caution in answer["cautions"])


def test_looser_limits_are_said_in_every_answer(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    library = written(tmp_path / "library.fieldtrip", CLEAR)
    file = tmp_path / "settings.json"
    write_settings(Settings(limits=(("gust_stop_m_s", "20"), ("edge_m", "6"))), file)
    asked = ["check", f"--library={library}", f"--trip={CLEAR.trip.id}", NOW]

    usual = commands.main(asked)
    by_usual = json.loads(capsys.readouterr().out)
    own = commands.main([*asked, f"--settings={file}"])
    by_own = json.loads(capsys.readouterr().out)

    assert usual == own == 0
    assert by_usual["looser_limits"] == []
    assert by_usual["limits"].startswith("The usual limits; --settings FILE takes")
    assert by_own["limits"] == (
        "The limits of the settings, 1 of them looser than usual."
    )
    assert by_own["looser_limits"] == [
        {"name": "gust_stop_m_s", "value": 20.0, "unit": "m/s"}
    ]
    (edge, *_) = [f for f in by_own["findings"] if f["rule"] == "cliff_edge"]
    assert "looser" in edge["found"]
