"""The whole window's palette and style sheet, made from a `Theme`."""

from __future__ import annotations

from PySide6.QtGui import QColor, QFont, QFontDatabase, QPalette
from PySide6.QtWidgets import QApplication

from fieldtrip.desktop.theme import Theme
from fieldtrip.files import own_folder

_SERIFS = ("Charter", "Source Serif 4", "Georgia", "DejaVu Serif")


def apply(app: QApplication, theme: Theme, text_percent: int = 100) -> None:
    """Give every widget of the application this theme and size of text."""
    usual = app.property("usualPointSize")  # as the system gave it, before any scaling
    if usual is None:
        usual = app.font().pointSizeF()
        app.setProperty("usualPointSize", usual)
    app.setStyle("Fusion")  # the same on every system, and it follows a palette
    app.setPalette(palette(theme))
    font = QFont(app.font())
    font.setPointSizeF(usual * text_percent / 100.0)
    app.setStyleSheet("")  # a font reaches no widget that a style sheet has polished
    app.setFont(font)
    app.setStyleSheet(style_sheet(theme, font.pointSizeF()))


def serif_families() -> list[str]:
    """The type for headings: the first of a few that are good and there."""
    known = set(QFontDatabase.families())
    return [name for name in _SERIFS if name in known] or ["serif"]


def palette(theme: Theme) -> QPalette:
    """Qt's colour roles filled from the theme."""
    made = QPalette()
    role = QPalette.ColorRole
    for name, colour in {
        role.Window: theme.sheet,
        role.WindowText: theme.ink,
        role.Base: theme.field,
        role.AlternateBase: theme.sheet,
        role.Text: theme.ink,
        role.PlaceholderText: theme.soft_ink,
        role.Button: theme.sheet,
        role.ButtonText: theme.ink,
        role.ToolTipBase: theme.field,
        role.ToolTipText: theme.ink,
        role.Highlight: theme.accent,
        role.HighlightedText: theme.field,
        role.Link: theme.accent,
        role.Mid: theme.line,
    }.items():
        made.setColor(name, QColor(colour))
    group = QPalette.ColorGroup.Disabled
    for name in (role.WindowText, role.Text, role.ButtonText):
        made.setColor(group, name, QColor(theme.soft_ink))
    return made


def style_sheet(theme: Theme, size_pt: float) -> str:
    """What the palette cannot say: edges, paddings, what is chosen, kinds of type.

    A label gets its type by the property ``type``: a font set on the widget itself
    would be lost when the application's type changes its size.
    """
    t = theme
    family = ", ".join(f'"{name}"' for name in serif_families())
    name = "down-dark.svg" if theme.is_dark else "down-light.svg"
    arrow = (own_folder("resources") / "icons" / name).as_posix()
    return f"""
QMainWindow, QMenuBar {{ background: {t.paper}; }}
QMenuBar::item {{ padding: 5px 9px; background: transparent; }}
QMenuBar::item:selected, QMenu::item:selected {{
  background: {t.accent_wash}; color: {t.ink}; }}
QMenu {{ background: {t.sheet}; border: 1px solid {t.line}; padding: 4px; }}
QMenu::item {{ padding: 5px 22px 5px 14px; }}
QMenu::item:disabled {{ color: {t.soft_ink}; }}
QMenu::separator {{ height: 1px; background: {t.line}; margin: 4px 8px; }}
QToolTip {{ background: {t.field}; color: {t.ink}; border: 1px solid {t.line}; }}
QSplitter::handle {{ background: {t.line}; }}
QSplitter::handle:horizontal {{ width: 1px; }}
QSplitter::handle:vertical {{ height: 1px; }}
QStatusBar {{ background: {t.paper}; color: {t.soft_ink}; }}
QLineEdit, QPlainTextEdit, QTextEdit, QComboBox, QDateEdit, QTimeEdit, QSpinBox {{
  background: {t.field}; color: {t.ink}; border: 1px solid {t.line};
  border-radius: 5px; padding: 3px 6px; selection-background-color: {t.accent};
  selection-color: {t.field}; }}
QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus, QComboBox:focus,
QDateEdit:focus, QTimeEdit:focus, QSpinBox:focus {{ border: 1px solid {t.accent}; }}
QLineEdit[fault="true"], QPlainTextEdit[fault="true"],
QComboBox[fault="true"] {{ border: 1px solid {t.stop}; }}
QComboBox::drop-down, QDateEdit::drop-down {{ border: none; width: 20px;
  background: transparent; }}
QComboBox::down-arrow, QDateEdit::down-arrow {{ image: url("{arrow}");
  width: 12px; height: 12px; }}
QComboBox QAbstractItemView {{ background: {t.field}; color: {t.ink};
  selection-background-color: {t.accent_wash}; selection-color: {t.ink}; }}
QPushButton {{ background: transparent; color: {t.accent};
  border: 1px solid {t.accent}; border-radius: 12px; padding: 3px 12px; }}
QPushButton:hover, QPushButton:focus {{ background: {t.accent_wash}; }}
QPushButton:disabled {{ color: {t.soft_ink}; border-color: {t.line}; }}
QToolButton {{ background: transparent; border: 1px solid transparent;
  border-radius: 5px; padding: 3px 7px; }}
QToolButton:hover, QToolButton:focus {{ border-color: {t.line}; }}
QToolButton:checked {{ background: {t.accent_wash}; }}
QToolButton[link="true"] {{ color: {t.accent}; }}
QToolButton[heading="true"] {{ font-family: {family}; font-weight: 600;
  font-size: {1.1 * size_pt:.1f}pt; }}
QTreeView, QTableView, QListView {{ background: {t.sheet}; border: none;
  alternate-background-color: {t.sheet}; outline: none; }}
QTreeView::item {{ padding: 3px 2px; }}
QTreeView::item:selected, QTableView::item:selected, QListView::item:selected {{
  background: {t.accent_wash}; color: {t.ink}; }}
QHeaderView::section {{ background: {t.sheet}; color: {t.soft_ink}; border: none;
  border-bottom: 1px solid {t.line}; padding: 4px 6px; }}
QTableView {{ gridline-color: {t.line}; }}
QScrollArea {{ border: none; background: {t.sheet}; }}
QScrollArea > QWidget > QWidget {{ background: {t.sheet}; }}
QScrollBar:vertical {{ background: transparent; width: 11px; margin: 1px; }}
QScrollBar:horizontal {{ background: transparent; height: 11px; margin: 1px; }}
QScrollBar::handle {{ background: {t.line}; border-radius: 4px; min-height: 24px;
  min-width: 24px; }}
QScrollBar::handle:hover {{ background: {t.soft_ink}; }}
QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
QTabBar::tab {{ padding: 5px 12px; color: {t.ink}; background: transparent;
  border-bottom: 3px solid transparent; }}
QTabBar::tab:selected {{ color: {t.accent}; border-bottom: 3px solid {t.accent}; }}
QTabBar::tab:focus {{ background: {t.accent_wash}; }}
QLabel[type="title"] {{ font-family: {family}; font-weight: 600;
  font-size: {1.35 * size_pt:.1f}pt; }}
QLabel[type="heading"] {{ font-family: {family}; font-weight: 600;
  font-size: {1.1 * size_pt:.1f}pt; }}
QLabel[type="strong"] {{ font-weight: 600; }}
QLabel[type="small"] {{ font-size: {0.85 * size_pt:.1f}pt; }}
QLabel[type="print"] {{ font-size: {0.88 * size_pt:.1f}pt; font-style: italic; }}
QLabel[soft="true"] {{ color: {t.soft_ink}; }}
QLabel[fault="true"] {{ color: {t.stop}; }}
QLabel[caution="true"] {{ color: {t.caution}; }}
QLabel[accent="true"] {{ color: {t.accent}; }}
"""
