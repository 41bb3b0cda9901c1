"""Reads XML from anywhere without trusting it: no DTD, no entities, no surprises."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol, TypeVar
from xml.parsers import expat

from fieldtrip.errors import UserError
from fieldtrip.exchange.found import LARGEST_TEXT_BYTES, Progress

_PIECE_BYTES = 1_000_000
DEEPEST = 200  # elements within one another; a real file has about ten
_SEPARATOR = " "  # between a namespace and a name; neither can hold one


class Handler(Protocol):
    """Hears of elements as they come, and clears `text` at each start.

    It is called once for each of some hundred thousand elements, so nothing stands
    in between; it calls `refuse_too_deep` itself.
    """

    text: list[str]

    def start(self, name: str, attributes: dict[str, str], /) -> None:
        """An element begins; its name as ``namespace name``."""

    def end(self, name: str, /) -> None:
        """An element ends."""


H = TypeVar("H", bound=Handler)


def parse_xml(
    data: bytes,
    make: Callable[[Callable[[], int]], H],
    file_name: str,
    progress: Progress | None = None,
) -> H:
    """Feed a document to the handler that `make` gives; it is handed the line's number.

    Raises `UserError` for what is no XML, has a DOCTYPE, is too large or too deep.
    """
    refuse_too_large(len(data), file_name)
    parser = expat.ParserCreate(namespace_separator=_SEPARATOR)
    parser.buffer_text = True  # one call for a text, not one for each of its lines
    handler = make(lambda: int(parser.CurrentLineNumber))

    def refuse_doctype(*_: object) -> None:
        raise UserError(
            f"“{file_name}” has a DOCTYPE, with which a file can make a program read "
            "others or fill its memory, so it was not read."
        )

    parser.StartElementHandler = handler.start
    parser.EndElementHandler = handler.end
    parser.CharacterDataHandler = handler.text.append
    parser.StartDoctypeDeclHandler = refuse_doctype
    try:
        for offset in range(0, len(data), _PIECE_BYTES):
            parser.Parse(data[offset : offset + _PIECE_BYTES], False)
            if progress is not None:
                progress(offset / len(data))
        parser.Parse(b"", True)
    except expat.ExpatError as error:
        raise UserError(_unreadable(error, file_name)) from error
    except (LookupError, ValueError) as error:  # an encoding that nobody knows
        raise UserError(
            f"The encoding that “{file_name}” names is not known: {error}."
        ) from error
    return handler


def refuse_too_deep(depth: int, file_name: str) -> None:
    """Refuse elements within one another without end, with a `UserError`."""
    if depth > DEEPEST:
        raise UserError(
            f"“{file_name}” has more than {DEEPEST} elements within one another, "
            "which no file of places has, so it was not read."
        )


def refuse_too_large(size: int, file_name: str) -> None:
    """Refuse a file by its size alone, with a `UserError`."""
    if size > LARGEST_TEXT_BYTES:
        raise UserError(
            f"“{file_name}” has {size / 1e6:,.0f} MB; files of up to "
            f"{LARGEST_TEXT_BYTES / 1e6:.0f} MB are read."
        )


def local_name(name: str) -> str:
    """An element's name without its namespace."""
    return name.rpartition(_SEPARATOR)[2]


def _unreadable(error: expat.ExpatError, file_name: str) -> str:
    reason = expat.ErrorString(error.code)
    if error.code == expat.errors.codes[expat.errors.XML_ERROR_NO_ELEMENTS]:
        return (
            f"“{file_name}” is empty or was cut off: it ends too early, so nothing was "
            "taken from it."
        )
    if error.code == expat.errors.codes[expat.errors.XML_ERROR_UNKNOWN_ENCODING]:
        return f"The encoding that “{file_name}” names is not known."
    return (
        f"“{file_name}” is damaged or is no XML: line {error.lineno} cannot be read "
        f"({reason}), so nothing was taken from it."
    )
