"""What the page is told of map material, and how its lines read."""

from __future__ import annotations

from fieldtrip.desktop.content.material import (
    SHORE_CREDITS,
    ShownSheet,
    links,
    material_row,
    page_values,
    server_credits,
)
from fieldtrip.material.box import Box
from fieldtrip.material.credits import Credit
from fieldtrip.material.records import Kind, Material

CHART = Material(
    kind=Kind.PICTURES, name="Chart", source="/a.mbtiles", opacity_percent=40
)
SERVER = Material(
    kind=Kind.SERVER,
    name="tiles.example",
    source="https://tiles.example/{z}/{x}/{y}?key=secret",
    credit='© <a href="https://tiles.example/terms">Them</a>',
)
COAST = Material(kind=Kind.COAST, name="Coastline")


def test_the_page_gets_the_lowest_sheet_first_and_the_uppermost_credit_first() -> None:
    shown = [
        ShownSheet(CHART, (Credit("Us"),), 3, 14, Box(-90.0, -9.0, 90.0, -8.0), 7),
        ShownSheet(SERVER, server_credits(SERVER)),
        ShownSheet(COAST, SHORE_CREDITS),
    ]

    values = page_values(shown)

    assert [sheet["id"] for sheet in values["sheets"]] == [
        COAST.id.hex,
        SERVER.id.hex,
        CHART.id.hex,
    ]
    assert values["sheets"][2] == {
        "id": CHART.id.hex,
        "is_tiles": True,
        "opacity": 0.4,
        "min_zoom": 3,
        "max_zoom": 14,
        "bounds": [[-85.06, -9.0], [85.06, -8.0]],
        "turn": 7,
    }
    assert values["credits"][0] == [{"text": "Us", "link": ""}]
    assert values["has_shore"]
    assert not page_values(shown[:2])["has_shore"]


def test_the_coastline_s_credit_says_how_true_it_is() -> None:
    (credit,) = SHORE_CREDITS

    assert "oastline ±200 m, small islets missing" in credit.text


def test_only_links_of_what_is_shown_may_be_opened() -> None:
    shown = [
        ShownSheet(SERVER, server_credits(SERVER)),
        ShownSheet(COAST, SHORE_CREDITS),
    ]

    assert links(shown) == {"https://tiles.example/terms"}
    assert links([]) == frozenset()


def test_a_line_says_what_a_sheet_is_and_no_keys() -> None:
    rows = [material_row(each, "") for each in (CHART, SERVER, COAST)]

    assert [row.note for row in rows] == [
        "map pictures: /a.mbtiles",
        "tile server tiles.example",
        "coastline ±200 m, small islets missing",
    ]
    assert "secret" not in str(rows)
    assert material_row(CHART, "It is gone.").trouble == "It is gone."
