"""Whose map material it is: plain words with links, from HTML that may be hostile."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from html.parser import HTMLParser
from urllib.parse import urlsplit

LONGEST = 300  # characters that are shown
_READ_AT_MOST = 10_000
_SILENT = frozenset({"script", "style", "template", "title", "noscript", "svg", "math"})
_LINK_LONGEST = 1000


@dataclass(frozen=True, slots=True)
class Credit:
    """Words, and where they lead: an https address, or nowhere."""

    text: str
    link: str = ""


def credits_from(html: str) -> tuple[Credit, ...]:
    """The words of an HTML text, with its https links and nothing else of it.

    Text that is no HTML comes out as it is.  What is longer than LONGEST ends with …
    """
    reader = _Words()
    reader.feed(html[:_READ_AT_MOST])
    reader.close()
    return _tidied(reader.pieces)


def plain(text: str) -> str:
    """Text in one line, without characters that cannot be seen or turn its order."""
    shown = (c if unicodedata.category(c)[0] not in "CZ" else " " for c in text)
    kept = (" " if _is_blank(c) else c for c in shown)
    return " ".join("".join(kept).split())


def is_outside_link(address: str) -> bool:
    """Whether an address is plain https with a host and without a user's name."""
    if len(address) > _LINK_LONGEST or plain(address) != address or " " in address:
        return False
    try:
        parts = urlsplit(address)
        return (
            parts.scheme == "https"
            and bool(parts.hostname)
            and parts.username is None
            and (parts.port is None or parts.port > 0)
        )
    except ValueError:
        return False


class _Words(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.pieces: list[Credit] = []
        self._link = ""
        self._silent = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _SILENT:
            self._silent += 1
        elif tag == "a":
            address = (dict(attrs).get("href") or "").strip()
            self._link = address if is_outside_link(address) else ""
        elif tag in ("br", "p", "div", "li"):
            self.pieces.append(Credit(" "))

    def handle_endtag(self, tag: str) -> None:
        if tag in _SILENT:
            self._silent = max(0, self._silent - 1)
        elif tag == "a":
            self._link = ""

    def handle_data(self, data: str) -> None:
        if not self._silent:
            self.pieces.append(Credit(data, self._link))


def _tidied(pieces: list[Credit]) -> tuple[Credit, ...]:
    """Pieces of one link together, blanks single, and the whole not too long."""
    joined: list[Credit] = []
    for piece in pieces:
        if joined and joined[-1].link == piece.link:
            joined[-1] = Credit(joined[-1].text + piece.text, piece.link)
        else:
            joined.append(piece)
    found: list[Credit] = []
    left = LONGEST
    gap = False
    for piece in joined:
        text = plain(piece.text)
        gap = gap or piece.text[:1].isspace()
        if text and left > 0:
            blank = gap and bool(found)
            if len(text) > left - blank:
                text = text[: left - blank - 1] + "…"
            left -= len(text) + blank
            if blank and not piece.link:
                text = f" {text}"
            elif blank:  # a blank is never part of a link
                found.append(Credit(" "))
            found.append(Credit(text, piece.link))
            gap = False
        gap = gap or piece.text[-1:].isspace()
    return tuple(found)


def _is_blank(character: str) -> bool:
    """Letters that look like nothing, and could make a credit seem to be missing."""
    return character in "\u115f\u1160\u3164\uffa0\u2800\u034f"
