"""A menu under construction: one line a verb, a switch or a rule."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu, QWidget

from fieldtrip.errors import UserError

Verb = Callable[[], object]
Key = str | QKeySequence.StandardKey


class Menu:
    """Adds lines to a menu; a verb that is refused says why in the status line."""

    def __init__(
        self, menu: QMenu, owner: QWidget, tell: Callable[[str], object]
    ) -> None:
        self.menu = menu
        self._owner = owner
        self._tell = tell

    def verb(self, text: str, action: Verb, key: Key | None = None) -> QAction:
        """A line that does something, in the menu and by its key."""
        made = self._line(text, key)
        made.triggered.connect(lambda: self._attempt(action))
        return made

    def switch(
        self,
        text: str,
        is_on: bool,
        turned: Callable[[bool], object],
        key: Key | None = None,
    ) -> QAction:
        """A line that is on or off."""
        made = self._line(text, key)
        made.setCheckable(True)
        made.setChecked(is_on)
        made.toggled.connect(turned)
        return made

    def one_of(
        self, texts: dict[str, str], now: str, chosen: Callable[[str], object]
    ) -> None:
        """Lines of which one is on; `chosen` gets its key in `texts`."""
        group = QActionGroup(self._owner)
        for value, text in texts.items():
            made = self._line(text, None)
            made.setCheckable(True)
            made.setChecked(value == now)
            made.setActionGroup(group)
            made.triggered.connect(lambda _=False, v=value: chosen(v))

    def below(self, title: str) -> Menu:
        """A menu inside this one."""
        return Menu(self.menu.addMenu(title), self._owner, self._tell)

    def rule(self) -> None:
        """A line between groups."""
        self.menu.addSeparator()

    def _line(self, text: str, key: Key | None) -> QAction:
        made = QAction(text, self._owner)
        if key is not None:
            made.setShortcut(QKeySequence(key))
            made.setShortcutContext(Qt.ShortcutContext.WindowShortcut)
        self.menu.addAction(made)
        return made

    def _attempt(self, action: Verb) -> None:
        try:
            action()
        except UserError as error:
            self._tell(str(error))
