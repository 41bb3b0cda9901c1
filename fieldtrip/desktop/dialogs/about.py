"""What the program is, what it is not, its licences, and its keys."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import Qt, qVersion
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import (
    QDialog,
    QLabel,
    QMainWindow,
    QMenu,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from fieldtrip.phrasing import CAUTIONS

# What no menu says.
_ELSEWHERE = (
    ("On the map", (
        ("arrows, + and −", "move, zoom"),
        ("Space", "while drawing: a point at the cross"),
        ("Enter, Backspace, Esc", "while drawing: end, take back, cancel"),
        ("Alt", "while drawing or dragging: take no point of the library"),
        ("Tab, Enter", "go to the next place, choose it"),
        ("Ctrl or Shift and a click", "choose one more"),
        ("N, P", "the next point of the chosen line, the one before"),
        ("arrows, Insert, Del, Esc", "at a point: move it, add one, remove it, let go"),
    )),
    ("On the skyline and on profiles", (
        ("← and →", "read along it; with Shift ten times as far"),
        ("+ and −", "on the skyline: nearer, farther; dragging then turns round"),
        ("Home", "on the skyline: the subject"),
    )),
    ("On the day strip", (
        ("Up, Down", "a minute; with Shift ten, with Ctrl sixty"),
        ("Page up, Page down", "a day"),
        ("Home", "this minute of today"),
        ("+ and −", "stretch and shrink the hours"),
    )),
    ("In the list", (
        ("Enter", "edit what is chosen"),
        ("Del", "remove it"),
        ("Ctrl or Shift and a click", "choose one more, or all up to it"),
        ("Shift+Up, Shift+Down", "choose the next one too"),
    )),
    ("In the map material", (
        ("Space", "switch a sheet on and off"),
        ("Alt+Up, Alt+Down", "lay it higher, lower"),
        ("Del", "take it away"),
        ("Ctrl+C", "copy what is said of it"),
    )),
    ("While typing", (
        ("Enter, or leaving the field", "store what was typed"),
        ("Ctrl+Enter", "the same, in a long text"),
        ("Esc", "show again what is stored"),
    )),
)  # fmt: skip


def show_keys(window: QMainWindow) -> QDialog:
    """A window with the keys: those of the menus as they are, and the others."""
    parts = [
        (text, rows)
        for title in window.menuBar().actions()
        if (rows := _keys_of(title.menu())) and (text := title.text().replace("&", ""))
    ]
    page = []
    for heading, rows in (*parts, *_ELSEWHERE):
        lines = "".join(
            f"<tr><td style='padding:2px 18px 2px 0'><b>{escape(key)}</b></td>"
            f"<td>{escape(what)}</td></tr>"
            for key, what in rows
        )
        page.append(f"<h3>{heading}</h3><table>{lines}</table>")
    return _window(window, "Keys", "".join(page))


def _keys_of(menu: object) -> tuple[tuple[str, str], ...]:
    """Key and words of every line of a menu that has a key."""
    if not isinstance(menu, QMenu):
        return ()
    found: list[tuple[str, str]] = []
    for action in menu.actions():
        found += _keys_of(action.menu())
        if not action.shortcut().isEmpty():
            key = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
            words = action.text().replace("&", "").removesuffix("…")
            if words.startswith(("Undo ", "Redo ")):
                words = words[:4]  # without the step that it would take now
            found.append((key, words))
    return tuple(found)


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
