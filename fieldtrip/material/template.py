"""The address pattern of a tile server, such as ``https://tiles.example/{z}/{x}/{y}``."""

from __future__ import annotations

import ipaddress
import re
from urllib.parse import urlsplit

from fieldtrip.errors import UserError
from fieldtrip.material.tiles import Tile

_FIELD = re.compile(r"\{([^{}]*)\}")
_FIELDS = ("z", "x", "y")
_LONGEST = 2000


def checked_template(text: str) -> str:
    """The pattern, if tiles may be asked for with it.

    Raises `UserError`, one sentence, where it lacks {z}, {x} or {y}, has other fields,
    carries a user's name, or is not https; plain http is allowed on this machine only.
    """
    template = text.strip()
    if not template:
        raise UserError("Type the address of the tile server first.")
    if len(template) > _LONGEST or not template.isprintable() or " " in template:
        raise UserError("That address has characters or a length that none can have.")
    try:
        parts = urlsplit(template)
        host, _ = parts.hostname, parts.port
    except ValueError as error:
        raise UserError("That is no address of the form https://…") from error
    fields = _FIELD.findall(template)
    if sorted(set(fields)) != sorted(_FIELDS):
        raise UserError(
            "The address of a tile server has {z}, {x} and {y} where zoom, column and "
            "row go, and no other words in braces."
        )
    if not host or _FIELD.search(parts.netloc):
        raise UserError("The address names no server: it begins with https://…")
    if parts.username is not None:
        raise UserError("An address with a user’s name in it is not kept or used.")
    if parts.scheme != "https" and not (
        parts.scheme == "http" and is_this_machine(host)
    ):
        raise UserError(
            "A tile server is asked over https only; http is for this machine itself."
        )
    return template


def filled(template: str, tile: Tile) -> str:
    """The address of one tile."""
    numbers = {"z": tile.zoom, "x": tile.column, "y": tile.row}
    return _FIELD.sub(lambda match: str(numbers[match[1]]), template)


def server_name(template: str) -> str:
    """The name of the server alone, without path and keys; for telling."""
    try:
        return urlsplit(template).hostname or ""
    except ValueError:
        return ""


def is_this_machine(host: str) -> bool:
    """Whether a host can only be this machine: localhost or a loopback address."""
    if host.lower() == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False
