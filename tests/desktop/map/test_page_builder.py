"""The files of the map page, and how folium's part is kept."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from fieldtrip.desktop.map import page_builder
from fieldtrip.desktop.map.page_builder import page_files, theme_css
from fieldtrip.desktop.theme import DARK, LIGHT


def kept(folder: Path) -> Path:
    (found,) = folder.glob("*.json")
    return found


def test_the_page_forbids_all_but_its_own_files(tmp_path: Path) -> None:
    page = page_files(tmp_path)["/index.html"].data.decode()

    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page)

    assert policy is not None
    rules = dict(rule.split(maxsplit=1) for rule in policy[1].split("; "))
    assert rules["default-src"] == "'none'"
    assert rules["script-src"] == rules["style-src"] == "fieldtrip:"
    assert rules["base-uri"] == rules["form-action"] == "'none'"
    assert "unsafe" not in policy[1]


def test_the_page_has_no_script_and_no_style_of_its_own(tmp_path: Path) -> None:
    page = page_files(tmp_path)["/index.html"].data.decode()

    assert not re.search(r"<script(?![^>]*\bsrc=)", page)
    assert "<style" not in page
    assert not re.search(r"\son\w+\s*=", page)
    assert not re.search(r"\sstyle\s*=", page)


def test_the_page_asks_only_for_files_that_are_there(tmp_path: Path) -> None:
    files = page_files(tmp_path)
    page = files["/index.html"].data.decode()

    wanted = set(re.findall(r'(?:src|href)="fieldtrip://map([^"]*)"', page))

    assert len(re.findall(r'(?:src|href)="', page)) == len(wanted)
    assert wanted - {"/qwebchannel.js"} <= set(files)


def test_leaflet_is_what_the_package_brought(tmp_path: Path) -> None:
    leaflet = page_files(tmp_path)["/leaflet.js"].data.decode()

    assert re.search(r"@preserve\s+\* Leaflet 1\.9\.", leaflet)


def test_folium_is_asked_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = page_files(tmp_path)
    monkeypatch.setattr(
        page_builder, "_written_by_folium", lambda: pytest.fail("again")
    )

    assert page_files(tmp_path) == first


@pytest.mark.slow
def test_folium_is_not_imported_where_the_page_is_kept(tmp_path: Path) -> None:
    page_files(tmp_path)
    script = (
        "import sys; from pathlib import Path;"
        "from fieldtrip.desktop.map.page_builder import page_files;"
        "page_files(Path(sys.argv[1]));"
        "sys.exit('folium' in sys.modules or 'numpy' in sys.modules)"
    )

    done = subprocess.run([sys.executable, "-c", script, str(tmp_path)], check=False)

    assert done.returncode == 0


@pytest.mark.parametrize("damage", ["", "{", "[]", '{"head": 1}', "\0"])
def test_a_damaged_copy_is_written_anew(tmp_path: Path, damage: str) -> None:
    whole = page_files(tmp_path)
    good = kept(tmp_path).read_text()
    kept(tmp_path).write_text(damage)

    again = page_files(tmp_path)

    assert set(again) == set(whole)
    assert len(kept(tmp_path).read_text()) == len(good)


def test_what_an_older_version_kept_is_cleared_away(tmp_path: Path) -> None:
    (tmp_path / "map-frame-0123456789abcdef.json").write_text("{}")
    (tmp_path / "other.txt").write_text("not ours to touch")

    page_files(tmp_path)

    assert kept(tmp_path).stat().st_size > 100
    assert (tmp_path / "other.txt").exists()


def test_a_page_that_cannot_be_kept_is_made_all_the_same(tmp_path: Path) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_text("not a folder")

    assert "/index.html" in page_files(in_the_way)


def test_the_page_has_the_colours_of_the_window() -> None:
    css = theme_css()

    light, dark = css.strip().split("\n")
    assert f"--paper: {LIGHT.paper};" in light
    assert f"--accent-wash: {DARK.accent_wash};" in dark
    assert dark.startswith(":root.dark")
