"""The trip sheet: what it says, its page with a map and photographs, and its PDF."""

from __future__ import annotations

import os
from functools import partial
from random import Random

from fieldtrip.desktop.sheet_printing import pdf_without_window
from fieldtrip.places.photographs import LARGEST_BYTES
from fieldtrip.reports.sheet import Photo
from fieldtrip.reports.sheet_html import sheet_html
from fieldtrip.reports.trip_sheet import Extras
from tests.bench.rows import Row, best_s
from tests.reports.story import demo, demo_ground, ordinary, sheet_of, ten_stops

PHOTO_BYTES = LARGEST_BYTES


def run() -> list[Row]:
    """Seconds and kilobytes; the aim is 3 s for a sheet and 2 MB for its page."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    ground = demo_ground()
    rows = []
    for name, story in (
        ("two stops", ordinary()),
        ("ten stops", ten_stops()),
        ("the demo", demo()),
    ):
        photos = {
            vantage.id: Photo(Random(1).randbytes(PHOTO_BYTES), "Taken before")
            for vantage in story[0].vantage_points
        }
        extras = Extras(ground=ground, photos=photos)
        make = partial(sheet_of, story, extras=extras)
        sheet = make()
        page = sheet_html(sheet)
        rows += [
            Row(f"{name}, what it says", best_s(make, 3), "s"),
            Row(f"{name}, its page", best_s(partial(sheet_html, sheet), 3), "s"),
            Row(f"{name}, size with {len(photos)} photographs", len(page) / 1e3, "kB"),
        ]
    plain = sheet_html(sheet_of(ordinary(), extras=Extras(ground=ground)))
    rows.append(
        Row(
            "two stops, printed to PDF",
            best_s(partial(pdf_without_window, plain), 2),
            "s",
        )
    )
    return rows
