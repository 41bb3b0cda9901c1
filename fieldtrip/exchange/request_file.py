"""Requests that are handed to a command as a file."""

from __future__ import annotations

from pathlib import Path

from fieldtrip.errors import UserError

_LARGEST_FILE = 2_000_000  # bytes


def request_text(path: Path) -> str:
    """The text of a request.  Raises `UserError` in one sentence."""
    try:
        if path.stat().st_size > _LARGEST_FILE:
            raise UserError(f"{path.name} is too large for a request.")
        return path.read_text("utf-8-sig")
    except OSError as error:
        raise UserError(f"{path} cannot be read: {error.strerror}.") from error
    except UnicodeDecodeError as error:
        raise UserError(f"{path.name} is not text in UTF-8.") from error
