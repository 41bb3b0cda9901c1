"""HTML and SVG in which every text is escaped unless it is markup already.

The one place where texts become markup: whoever builds a page with `element` cannot
forget to escape, since a plain string always is.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterable

from fieldtrip.reports.directions import directed

# What a page may not hold (HTML standard, "noncharacters" and controls).
_CONTROLS = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")
_VOID = frozenset({"meta", "img", "br"})


class Markup(str):
    """A piece of a page, whose texts have been escaped."""

    __slots__ = ()


Child = str | Markup | Iterable["Child"]


def escaped(text: str) -> Markup:
    """A text as markup; characters that no page may hold are shown as �.

    It cannot turn round what stands beside it either, see `directions`.
    """
    return Markup(html.escape(directed(_CONTROLS.sub("\ufffd", text)), quote=True))


def element(name: str, /, *children: Child, **attributes: str | float) -> Markup:
    """One element; `class_` and `http_equiv` stand for class and http-equiv.

    An attribute that is empty text is left out.
    """
    told = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escaped(_plain(value))}"'
        for key, value in attributes.items()
        if value != ""
    )
    if name in _VOID:
        return Markup(f"<{name}{told}>")
    return Markup(f"<{name}{told}>{_inner(children)}</{name}>")


def joined(*children: Child) -> Markup:
    """Pieces one after another."""
    return Markup(_inner(children))


def css_string(text: str) -> str:
    """A text as a string of a style sheet, whatever is in it."""
    safe = "".join(
        c if c.isascii() and (c.isalnum() or c in " ,") else f"\\{ord(c):x} "
        for c in directed(_CONTROLS.sub("\ufffd", text))
    )
    return f'"{safe}"'


def _inner(children: Iterable[Child]) -> str:
    parts = []
    for child in children:
        if isinstance(child, Markup):
            parts.append(str(child))
        elif isinstance(child, str):
            parts.append(str(escaped(child)))
        else:
            parts.append(_inner(child))
    return "".join(parts)


def _plain(value: str | float) -> str:
    return value if isinstance(value, str) else f"{round(value, 2):g}"
