"""The bytes of a tide file into text; rubbish and web pages are told at once."""

from __future__ import annotations

import json
from typing import Any

from fieldtrip.errors import UserError

LARGEST_FILE = 10_000_000  # bytes; a year of heights every six minutes is 2 000 000
_CONTROLS = bytes(set(range(32)) - set(b"\t\n\r\f\x1a")) + b"\x7f"
_BYTE_ORDERS = {b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}


def text_of(data: bytes) -> str:
    """The text of a file.

    Raises `UserError` for what is no text: too large, empty, of bytes that no text
    has, or a web page.
    """
    if len(data) > LARGEST_FILE:
        raise UserError("This file is too large for a tide file.")
    text = _decoded(data)
    start = text.lstrip("\ufeff \t\r\n\f\x1a")
    if not start:
        raise UserError("This file is empty; there is nothing to read.")
    if start.startswith("<?xml"):
        raise UserError(
            "This file is XML, which cannot be read here. Where it came from, choose "
            "CSV or JSON in its place."
        )
    head = start[:2000].casefold()
    if start.startswith("<") or "<html" in head or "<!doctype" in head:
        raise UserError(
            "This is a web page, not a tide file; the service may have answered with "
            "an error."
        )
    return start.rstrip("\x1a")


def json_of(text: str) -> Any:
    """What a JSON text holds; `UserError` where it is cut off or damaged."""
    try:
        return json.loads(text, parse_constant=_refuse_constant)
    except json.JSONDecodeError as error:
        raise UserError(
            f"This file is not whole JSON: line {error.lineno} cannot be read."
        ) from error
    except (RecursionError, ValueError) as error:
        raise UserError("This JSON is no tide file.") from error


def may_be_cut(text: str) -> bool:
    """Whether the last line has no end, so that a number there may lack figures."""
    return not text.endswith(("\n", "\r"))


LAST_LEFT_OUT = (
    "The last line has no end, so that its height may be cut off; it is left out."
)


def one_line(text: object, longest: int = 200) -> str:
    """A foreign text in one line of bearable length."""
    line = " ".join(str(text).split())
    return line if len(line) <= longest else f"{line[:longest]}…"


def _decoded(data: bytes) -> str:
    try:
        if encoding := _BYTE_ORDERS.get(data[:2]):
            text = data.decode(encoding)
        elif data.translate(None, _CONTROLS) != data:
            raise UserError("This file is no text, so it is no tide file.")
        else:
            return _plain(data)
    except UnicodeDecodeError as error:
        raise UserError(
            "This file is no text that can be read; save it as UTF-8."
        ) from error
    if "\x00" in text:
        raise UserError("This file is no text, so it is no tide file.")
    return text


def _plain(data: bytes) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        # Old tables have one byte for the sign of degrees; what matters is ASCII.
        return data.decode("latin-1")


def _refuse_constant(name: str) -> float:
    raise ValueError(f"{name} is no JSON")
