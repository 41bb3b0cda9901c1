"""The whole window's palette and style sheet, made from a `Theme`."""

from __future__ import annotations

from PySide6.QtGui import QColor, QFont, QFontDatabase, QPalette
from PySide6.QtWidgets import QApplication

from fieldtrip.desktop.theme import Theme

_SERIFS = ("Charter", "Source Serif 4", "Georgia", "DejaVu Serif")


def apply(app: QApplication, theme: Theme) -> None:
    """Give every widget of the application this theme."""
    app.setStyle("Fusion")  # the same on every system, and it follows a palette
    app.setPalette(palette(theme))
    app.setStyleSheet(style_sheet(theme))


def serif(size_factor: float = 1.0, base: QFont | None = None) -> QFont:
    """The type for headings, as large as the application's times a factor."""
    font = QFont(base or QApplication.font())
    known = set(QFontDatabase.families())
    font.setFamilies([name for name in _SERIFS if name in known] or ["serif"])
    font.setPointSizeF(font.pointSizeF() * size_factor)
    font.setWeight(QFont.Weight.DemiBold)
    return font


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


def style_sheet(theme: Theme) -> str:
    """What the palette cannot say: edges, paddings and what is chosen."""
    t = theme
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
QLineEdit[fault="true"], QPlainTextEdit[fault="true"] {{ border: 1px solid {t.stop}; }}
QComboBox::drop-down {{ border: none; width: 18px; }}
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
QLabel[soft="true"] {{ color: {t.soft_ink}; }}
QLabel[fault="true"] {{ color: {t.stop}; }}
QLabel[accent="true"] {{ color: {t.accent}; }}
"""
