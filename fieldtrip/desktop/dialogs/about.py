"""What the program is, what it is not, its licences, and its keys."""

from __future__ import annotations

from PySide6.QtCore import Qt, qVersion
from PySide6.QtWidgets import QDialog, QLabel, QTextBrowser, QVBoxLayout, QWidget

from fieldtrip.phrasing import CAUTIONS

KEYS = (
    ("Everywhere", (
        ("Ctrl+Z, Ctrl+Shift+Z", "undo, redo"),
        ("Ctrl+F", "search places and notes"),
        ("F2", "edit what is chosen"),
        ("Ctrl+Backspace", "remove what is chosen"),
        ("Ctrl+1 … Ctrl+4", "pages of the card: notes, light, tide, checks"),
        ("Ctrl+M, Ctrl+D", "go to the map, go to the day strip"),
        ("F6, F7, F8", "show or hide list, card, day strip"),
    )),
    ("On the map", (
        ("arrows, + and −", "move, zoom"),
        ("Ctrl+G", "go to coordinates"),
        ("Ctrl+Shift+G", "find a place online"),
        ("Ctrl+L, Ctrl+Shift+V, Ctrl+Shift+S", "new location, vantage point, subject"),
        ("Ctrl+Shift+L", "draw a leg"),
        ("Space", "while drawing: a point at the cross"),
        ("Enter, Backspace, Esc", "while drawing: end, take back, cancel"),
    )),
    ("On the day strip", (
        ("Up, Down", "a minute; with Shift ten, with Ctrl sixty"),
        ("Page up, Page down", "a day"),
        ("+ and −", "stretch and shrink the hours"),
    )),
    ("While typing", (
        ("Enter, or leaving the field", "store what was typed"),
        ("Ctrl+Enter", "the same, in a long text"),
        ("Esc", "show again what is stored"),
    )),
)  # fmt: skip


def show_keys(parent: QWidget) -> QDialog:
    """A window with the keys."""
    parts = []
    for title, rows in KEYS:
        lines = "".join(
            f"<tr><td style='padding:2px 18px 2px 0'><b>{key}</b></td>"
            f"<td>{what}</td></tr>"
            for key, what in rows
        )
        parts.append(f"<h3>{title}</h3><table>{lines}</table>")
    return _window(parent, "Keys", "".join(parts))


def show_about(parent: QWidget) -> QDialog:
    """A window about the program."""
    cautions = "".join(f"<li>{sentence}</li>" for sentence in CAUTIONS)
    text = f"""
<h2>Fieldtrip</h2>
<p>Plans, checks and remembers a landscape photographer's days on a coast.</p>
<h3>Read this before you go</h3><ul>{cautions}</ul>
<h3>Licences</h3>
<p>Fieldtrip is free software under the MIT licence. It uses Qt {qVersion()} and
PySide6 under the GNU LGPL version 3 (their libraries lie apart from this program and
can be replaced), Chromium inside Qt WebEngine under its own notices, Leaflet under
the BSD 2-clause licence, folium (MIT), pyerfa (BSD 3-clause), astral (Apache 2.0),
geopy and GeographicLib (MIT), SQLAlchemy and Alembic (MIT), NumPy (BSD 3-clause).</p>
"""
    return _window(parent, "About Fieldtrip", text)


def _window(parent: QWidget, title: str, html: str) -> QDialog:
    dialog = QDialog(parent)
    dialog.setWindowTitle(title)
    dialog.resize(560, 560)
    page = QTextBrowser()
    page.setOpenLinks(False)
    page.setHtml(html)
    page.setFrameShape(QTextBrowser.Shape.NoFrame)
    column = QVBoxLayout(dialog)
    column.addWidget(page)
    hint = QLabel("Esc closes this.")
    hint.setProperty("soft", True)
    hint.setAlignment(Qt.AlignmentFlag.AlignRight)
    column.addWidget(hint)
    return dialog
