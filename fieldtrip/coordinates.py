"""Positions as people write them: read strictly, written plainly.

A wrong reading puts a person on the wrong side of a cliff, so whatever could be
read in two ways is refused with the reason.  Latitude always comes first.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NoReturn

from fieldtrip.errors import UserError
from fieldtrip.geo import Position, normal_longitude_deg
from fieldtrip.mercator import (
    BANDS,
    UtmPoint,
    band_range_deg,
    from_utm,
    to_utm,
)

LONGEST_TEXT = 200

# Written variants of one sign.  The ones that look alike are meant.
_SAME_SIGNS = str.maketrans(
    {
        "\u2212": "-",  # minus
        "\u00ba": "\u00b0",  # masculine ordinal, for the degree sign
        "\u02da": "\u00b0",  # ring above, likewise
        "\u2032": "'",  # prime
        "\u2019": "'",  # apostrophe
        "\u02b9": "'",  # modifier letter prime
        "\u00b4": "'",  # acute accent
        "\u2033": '"',  # double prime
        "\u201d": '"',  # closing quotation mark
        "\u00a0": " ",  # spaces of other widths
        "\u2009": " ",
        "\u202f": " ",
        "\t": " ",
        "\n": " ",
        "\r": " ",
    }
)
_TOKEN = re.compile(
    r"""
      (?P<number>[+-]?[0-9]{1,9}(?:[.,][0-9]{1,15})?(?![0-9]))
    | (?P<seconds>''|"|sec)
    | (?P<degrees>°|deg|d)
    | (?P<minutes>'|min|m)
    | (?P<letter>[NSEWnsew])(?![A-Za-z])
    | (?P<spaced>\ *[,;]\ +|\ +[,;]\ *|;)
    | (?P<comma>,)
    | (?P<space>\ +)
    """,
    re.VERBOSE,
)
_UTM = re.compile(
    r"(?P<zone>[0-9]{1,2}) *(?P<band>[A-Za-z])[ ,]+"
    r"(?P<easting>[0-9]{6}(?:\.[0-9]+)?|0[0-9]{6}(?:\.[0-9]+)?) *(?:m? ?E)?[ ,]+"
    r"(?P<northing>[0-9]{1,8}(?:\.[0-9]+)?) *(?:m? ?N)?"
)
_GEO_NUMBER = r"-?[0-9]+(?:\.[0-9]+)?"
_GEO = re.compile(
    rf"geo:(?P<lat>{_GEO_NUMBER}),(?P<lon>{_GEO_NUMBER})(?:,{_GEO_NUMBER})?"
    r"(?P<parameters>(?:;[A-Za-z0-9-]+(?:=[^;\s]*)?)*)",
    re.IGNORECASE,
)
_SEPARATORS = ("comma", "spaced")
_MARKS = ("degrees", "minutes", "seconds")
_EXAMPLE = "Write it like 49.6034, -8.4012 or N 49° 36.205′ W 8° 24.067′."


@dataclass(frozen=True, slots=True)
class _Token:
    kind: str
    text: str


@dataclass(slots=True)
class _Angle:
    """One of the two coordinates, as written."""

    numbers: list[str]
    marks: list[str]  # the mark after each number, or ""
    letter: str = ""


def read_position(text: str) -> Position:
    """Read a position that a person typed or pasted.

    Decimal degrees with point or comma, degrees and minutes, degrees, minutes and
    seconds, with signs or N, S, E, W before or after; UTM with its band letter
    (WGS 84); ``geo:`` URIs (RFC 5870).  Raises `UserError` with the reason
    for anything else, and for anything that could be read in two ways.
    """
    plain = text.translate(_SAME_SIGNS).strip()
    if not plain:
        _refuse(f"There is no position. {_EXAMPLE}")
    if len(plain) > LONGEST_TEXT:
        _refuse("This is too long to be a position.")
    if plain[:4].lower() == "geo:":
        return _read_geo_uri(plain)
    if match := _UTM.fullmatch(plain):
        return _read_utm(match)
    tokens = _tokens(plain)
    _refuse_unclear_commas(tokens)
    return _position(*_two_angles(tokens))


def decimal_text(position: Position) -> str:
    """Decimal degrees to 0.1 m, as in ``49.603400, -8.401200``.

    With a plain hyphen for minus, so that other programs can read it.
    """
    lat = f"{round(position.lat_deg, 6) + 0.0:.6f}"
    lon = f"{round(position.lon_deg, 6) + 0.0:.6f}"
    return f"{lat}, {lon}"


def degrees_minutes_text(position: Position) -> str:
    """Degrees and minutes to 2 m, as in ``49° 36.205′ N, 8° 24.067′ W``."""

    def angle(value_deg: float) -> str:
        whole, thousandths = divmod(round(abs(value_deg) * 60_000), 60_000)
        return f"{whole}° {thousandths / 1000:06.3f}′"

    return _with_letters(position, angle(position.lat_deg), angle(position.lon_deg))


def dms_text(position: Position) -> str:
    """Degrees, minutes, seconds to 3 m, as in ``49° 36′ 12.3″ N, 8° 24′ 04.0″ W``."""

    def angle(value_deg: float) -> str:
        whole, tenths = divmod(round(abs(value_deg) * 36_000), 36_000)
        minutes, tenths = divmod(tenths, 600)
        return f"{whole}° {minutes:02d}′ {tenths / 10:04.1f}″"

    return _with_letters(position, angle(position.lat_deg), angle(position.lon_deg))


def utm_text(position: Position) -> str:
    """UTM to the metre, as in ``29U 543210 5493210``: zone, band, easting, northing.

    Raises `UserError` beyond 84° N and 80° S, where UTM ends.
    """
    point = to_utm(position)
    if point is None:
        _refuse("UTM ends at 84° north and 80° south.")
    easting, northing = round(point.easting_m), round(point.northing_m)
    return f"{point.zone}{point.band} {easting:06d} {northing:07d}"


def _with_letters(position: Position, lat: str, lon: str) -> str:
    north = "N" if position.lat_deg >= 0.0 else "S"
    east = "E" if position.lon_deg >= 0.0 else "W"
    return f"{lat} {north}, {lon} {east}"


def _refuse(reason: str) -> NoReturn:
    raise UserError(reason)


def _read_geo_uri(text: str) -> Position:
    match = _GEO.fullmatch(text)
    if match is None:
        _refuse("A geo address is written like geo:49.6034,-8.4012.")
    names = [part.partition("=") for part in match["parameters"].split(";") if part]
    for name, _, value in names:
        if name.lower() == "crs" and value.lower() != "wgs84":
            _refuse(f"This geo address counts in “{value}”; only WGS 84 can be read.")
    return _checked(float(match["lat"]), float(match["lon"]))


def _read_utm(match: re.Match[str]) -> Position:
    zone, band = int(match["zone"]), match["band"].upper()
    if not 1 <= zone <= 60:
        _refuse(f"UTM has the zones 1 to 60, not {zone}.")
    if band not in BANDS:
        _refuse(f"UTM has no band {band}: its letters are {BANDS[0]} to {BANDS[-1]}.")
    easting_m, northing_m = float(match["easting"]), float(match["northing"])
    position = from_utm(UtmPoint(zone, band, easting_m, northing_m))
    south, north = band_range_deg(band)
    # A point on a band's edge may fall a metre beyond by rounding.
    if position is None or not south - 1e-4 <= position.lat_deg <= north + 1e-4:
        _refuse(
            f"These numbers do not lie in UTM zone {zone}{band}. The letter must be "
            "the band of latitude, not N or S for the hemisphere."
        )
    return position


def _tokens(text: str) -> list[_Token]:
    tokens: list[_Token] = []
    at = 0
    while at < len(text):
        match = _TOKEN.match(text, at)
        kind, found = (match.lastgroup, match[0]) if match else (None, "")
        # An s after minutes that are marked with an m counts seconds.
        if text[at] == "s" and _awaits_seconds(tokens):
            kind, found = "seconds", "sec" if text.startswith("sec", at) else "s"
        if kind is None:
            _refuse(f"“{text[at : at + 12]}” is no part of a position. {_EXAMPLE}")
        tokens.append(_Token(kind, found))
        at += len(found)
    return tokens


def _awaits_seconds(tokens: list[_Token]) -> bool:
    parts = [token for token in tokens if token.kind != "space"][-2:]
    return [token.kind for token in parts] == ["minutes", "number"] and parts[
        0
    ].text in ("m", "min")


def _refuse_unclear_commas(tokens: list[_Token]) -> None:
    """A comma is a decimal comma or stands between the two; never both."""
    between = [i for i, token in enumerate(tokens) if token.kind in _SEPARATORS]
    if len(between) > 1 or {0, len(tokens) - 1} & set(between):
        _refuse(f"There is a comma too many. {_EXAMPLE}")
    numbers = [token.text for token in tokens if token.kind == "number"]
    fractions = [re.sub(r"[^.,]", "", number) for number in numbers]
    if "," not in fractions:
        return
    if "." in fractions:
        _refuse("Decimal comma and decimal point are mixed: use one of them.")
    kinds = [token.kind for token in tokens]
    if len(numbers) == 1:
        _refuse(
            f"“{numbers[0]}” could be one number with a decimal comma or two numbers: "
            "put a space between latitude and longitude."
        )
    has_letters = "letter" in kinds
    if "comma" in kinds and not has_letters:
        _refuse(
            "The commas could be decimal commas or stand between numbers: "
            "use decimal points, or a space between latitude and longitude."
        )
    if len(numbers) == 2 and "" in fractions:
        _refuse(
            "Only one of the numbers has a decimal comma, so it could also stand "
            "between numbers: use decimal points."
        )


def _two_angles(tokens: list[_Token]) -> tuple[_Angle, _Angle]:
    letters = [token for token in tokens if token.kind == "letter"]
    if letters:
        groups = _split_by_letters(tokens, letters)
    else:
        groups = _split_without_letters(tokens)
    first, second = (_angle(group) for group in groups)
    return first, second


def _split_by_letters(
    tokens: list[_Token], letters: list[_Token]
) -> tuple[list[_Token], list[_Token]]:
    if len(letters) != 2:
        _refuse("Give both coordinates a letter, N or S and E or W, or neither.")
    one, two = (token.text.upper() for token in letters)
    if one in "EW" and two in "NS":
        _refuse("Latitude comes first: N or S, then E or W.")
    if one in "EW" or two in "NS":
        _refuse("A position needs one latitude (N or S) and one longitude (E or W).")
    where = [i for i, token in enumerate(tokens) if token.kind == "letter"]
    is_first, is_last = where[0] == 0, where[1] == len(tokens) - 1
    if is_first and not is_last:
        cut = where[1]  # letters come before
    elif is_last and not is_first:
        cut = where[0] + 1  # letters come after
    else:
        _refuse("Put the letters N, S, E, W both before or both after their numbers.")
    return tokens[:cut], tokens[cut:]


def _split_without_letters(
    tokens: list[_Token],
) -> tuple[list[_Token], list[_Token]]:
    numbers = [i for i, token in enumerate(tokens) if token.kind == "number"]
    if len(numbers) < 2:
        _refuse(f"A position needs a latitude and a longitude. {_EXAMPLE}")
    starts = [
        i
        for i, after in zip(numbers, [*numbers[1:], len(tokens)], strict=True)
        if any(token.kind == "degrees" for token in tokens[i:after])
    ]
    if len(numbers) == 2 and len(starts) in (0, 2):
        starts = numbers
    elif len(starts) != 2:
        _refuse(
            "It is not clear which numbers belong together: write N or S, and E or W, "
            "or put ° after the degrees."
        )
    return tokens[: starts[1]], tokens[starts[1] :]


def _angle(tokens: list[_Token]) -> _Angle:
    """Put the parts of one coordinate in order, refusing what has no place there."""
    angle = _Angle([], [])
    for token in tokens:
        if token.kind == "number":
            angle.numbers.append(token.text)
            angle.marks.append("")
        elif token.kind == "letter":
            angle.letter = token.text.upper()
        elif token.kind in _MARKS:
            if not angle.marks or angle.marks[-1]:
                _refuse(f"“{token.text}” does not follow a number. {_EXAMPLE}")
            angle.marks[-1] = token.kind
    return angle


def _position(lat: _Angle, lon: _Angle) -> Position:
    if len(lat.numbers) != len(lon.numbers):
        _refuse(
            "Latitude and longitude are written in different ways: "
            f"{_count(lat)} for one and {_count(lon)} for the other."
        )
    if len(lat.numbers) > 1 and not (_has_side(lat) or _has_side(lon)):
        _refuse("Write N or S, and E or W, with degrees and minutes.")
    return _checked(_degrees(lat), _degrees(lon))


def _count(angle: _Angle) -> str:
    count = len(angle.numbers)
    return f"{count} number" if count == 1 else f"{count} numbers"


def _has_side(angle: _Angle) -> bool:
    return bool(angle.letter) or angle.numbers[0][0] in "+-"


def _degrees(angle: _Angle) -> float:
    numbers, marks = angle.numbers, angle.marks
    if not 1 <= len(numbers) <= 3:
        _refuse(f"A coordinate is one, two or three numbers. {_EXAMPLE}")
    for mark, meant in zip(marks, _MARKS, strict=False):
        if mark not in ("", meant):
            _refuse(
                f"The signs for degrees, minutes and seconds are mixed up. {_EXAMPLE}"
            )
    if any(not number[-1].isdigit() or number[0] in "+-" for number in numbers[1:]):
        _refuse("Only degrees can have a sign; minutes and seconds cannot.")
    if any("." in number or "," in number for number in numbers[:-1]):
        _refuse("Degrees are whole where minutes follow, and minutes where seconds do.")
    if angle.letter and numbers[0][0] in "+-":
        _refuse("Use a sign or a letter for the hemisphere, not both.")
    degrees, minutes, seconds = (
        float(number.replace(",", ".")) for number in [*numbers, "0", "0"][:3]
    )
    if minutes >= 60.0:
        _refuse(f"Minutes must be below 60, not {minutes:g}.")
    if seconds >= 60.0:
        _refuse(f"Seconds must be below 60, not {seconds:g}.")
    is_negative = numbers[0][0] == "-" or angle.letter in ("S", "W")
    size = abs(degrees) + minutes / 60.0 + seconds / 3600.0
    return -size if is_negative else size


def _checked(lat_deg: float, lon_deg: float) -> Position:
    if not -90.0 <= lat_deg <= 90.0:
        _refuse(
            "The latitude comes first and lies between -90 and 90; "
            f"{lat_deg:g} does not."
        )
    if not -180.0 <= lon_deg <= 180.0:
        _refuse(f"The longitude lies between -180 and 180; {lon_deg:g} does not.")
    return Position(lat_deg + 0.0, normal_longitude_deg(lon_deg + 0.0))
