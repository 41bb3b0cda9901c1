"""The page and Python speak of the same things, and the page stays readable."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from fieldtrip.desktop.map.bridge import MapBridge
from fieldtrip.desktop.map.ground import GroundBridge
from fieldtrip.desktop.map.handwork import Handwork
from fieldtrip.desktop.map.overlays import OverlayBridge
from fieldtrip.desktop.map.tools import Tool
from fieldtrip.files import own_folder

PAGE = own_folder("resources") / "map"
MODULES = sorted(PAGE.glob("*.js"))
SCRIPT = "\n".join(path.read_text("utf-8") for path in MODULES)
BRIDGES = Path(__file__).parents[3] / "fieldtrip" / "desktop" / "map"


@pytest.mark.parametrize("name", ["bridge", "handwork", "ground", "overlays"])
def test_the_page_obeys_every_signal_sent_to_it(name: str) -> None:
    source = (BRIDGES / f"{name}.py").read_text("utf-8")
    to_page = source[
        source.index("# Python to page") : source.index("# Page to Python")
    ]
    sent = set(re.findall(r"^    (\w+) = Signal", to_page, re.MULTILINE))

    obeyed = set(re.findall(rf"{name}\.(\w+)\.connect", SCRIPT))

    assert sent
    assert obeyed == sent


@pytest.mark.parametrize(
    ("name", "bridge"),
    [
        ("bridge", MapBridge),
        ("handwork", Handwork),
        ("ground", GroundBridge),
        ("overlays", OverlayBridge),
    ],
)
def test_the_page_calls_every_slot_and_no_other(name: str, bridge: type) -> None:
    called = set(re.findall(rf"\b_?{name}\.(report\w+)\(", SCRIPT))

    slots = {slot for slot in vars(bridge) if slot.startswith("report")}

    assert slots
    assert called == slots


def test_the_page_knows_every_tool() -> None:
    least = re.search(r"LEAST = \{([^}]*)\}", SCRIPT)

    assert least is not None
    assert set(re.findall(r"(\w+):", least[1])) == {tool.value for tool in Tool}


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.name)
def test_a_module_is_one_small_thing(path: Path) -> None:
    text = path.read_text("utf-8")
    lines = [line for line in text.splitlines() if line.strip()]

    assert text.startswith("// ")
    assert len(lines) < 60
    assert len(re.findall(r"^export class", text, re.MULTILINE)) <= 1


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.name)
def test_no_module_turns_text_into_markup(path: Path) -> None:
    text = path.read_text("utf-8")

    for way in ("innerHTML", "outerHTML", "insertAdjacentHTML", "document.write",
                "bindPopup", "bindTooltip", "eval(", "new Function"):  # fmt: skip
        assert way not in text
    assert "http:" not in text.replace("http://www.w3.org/2000/svg", "")
    assert "https:" not in text


def test_every_imported_module_exists() -> None:
    imported = set(re.findall(r'from "\./([\w.]+)"', SCRIPT))

    assert imported == {path.name for path in MODULES} - {"main.js"}
