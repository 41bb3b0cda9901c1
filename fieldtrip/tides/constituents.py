"""Tidal constituents: their arguments, speeds and names, after Schureman.

An argument is a sum of multiples of the mean longitudes at an instant

    V = a T + b s + c h + d p + e p1 + constant

with T the hour angle of the mean Sun, s, h and p the mean longitudes of Moon,
Sun and lunar perigee, and p1 that of the solar perigee.  The Moon's node comes
in through factors (`fieldtrip.tides.nodes`).

Source: Schureman, Manual of Harmonic Analysis and Prediction of Tides, US Coast
and Geodetic Survey SP 98 (1958), table 2.  Names and compounds as in the standard
list of tidal constituents of the International Hydrographic Organization.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from itertools import chain
from types import MappingProxyType
from unicodedata import name as letter_name
from unicodedata import normalize

Multiples = tuple[int, int, int, int, int]

# Degrees in a Julian century of the mean longitudes; of T in an hour.
# Source: Meeus, Astronomical Algorithms (2nd ed., 1998), chapters 25 and 47.
MOON_DEG_PER_CENTURY = 481267.88123421
SUN_DEG_PER_CENTURY = 36000.76983
PERIGEE_DEG_PER_CENTURY = 4069.0137287
SOLAR_PERIGEE_DEG_PER_CENTURY = 1.71946
HOURS_PER_CENTURY = 876600.0


class Factor(StrEnum):
    """The constituents whose node factor and node angle have a rule of their own."""

    M2 = "M2"
    O1 = "O1"
    K1 = "K1"
    K2 = "K2"
    J1 = "J1"
    OO1 = "OO1"
    MM = "MM"
    MF = "MF"
    L2 = "L2"
    M1 = "M1"


@dataclass(frozen=True, slots=True)
class Constituent:
    """One cosine of the tide."""

    name: str
    multiples: Multiples  # of T, s, h, p and p1
    constant_deg: int
    # The node factor is the product of these raised to the power's size, the node
    # angle the sum of these times the power.
    powers: tuple[tuple[Factor, float], ...]

    @property
    def speed_deg_per_h(self) -> float:
        """How fast its argument grows, in degrees per hour, at the year 2000."""
        t, s, h, p, p1 = self.multiples
        moved = (
            s * MOON_DEG_PER_CENTURY
            + h * SUN_DEG_PER_CENTURY
            + p * PERIGEE_DEG_PER_CENTURY
            + p1 * SOLAR_PERIGEE_DEG_PER_CENTURY
        )
        return 15.0 * t + moved / HOURS_PER_CENTURY


_PLAIN: dict[str, tuple[Multiples, int, Factor | None]] = {
    "M2": ((2, -2, 2, 0, 0), 0, Factor.M2),
    "S2": ((2, 0, 0, 0, 0), 0, None),
    "N2": ((2, -3, 2, 1, 0), 0, Factor.M2),
    "K2": ((2, 0, 2, 0, 0), 0, Factor.K2),
    "NU2": ((2, -3, 4, -1, 0), 0, Factor.M2),
    "MU2": ((2, -4, 4, 0, 0), 0, Factor.M2),
    "2N2": ((2, -4, 2, 2, 0), 0, Factor.M2),
    "LAM2": ((2, -1, 0, 1, 0), 180, Factor.M2),
    "L2": ((2, -1, 2, -1, 0), 180, Factor.L2),
    "T2": ((2, 0, -1, 0, 1), 0, None),
    "R2": ((2, 0, 1, 0, -1), 180, None),
    "EPS2": ((2, -5, 4, 1, 0), 0, Factor.M2),
    "ALPHA2": ((2, -2, 1, 0, 1), 180, Factor.M2),
    "BETA2": ((2, -2, 3, 0, -1), 0, Factor.M2),
    "GAMMA2": ((2, -2, 0, 2, 0), 180, Factor.M2),
    "DELTA2": ((2, -2, 4, 0, 0), 0, Factor.M2),
    "MA2": ((2, -2, 1, 0, 0), 0, Factor.M2),  # M2 with the year, not with p1
    "MB2": ((2, -2, 3, 0, 0), 0, Factor.M2),
    "ETA2": ((2, 1, 2, -1, 0), 0, Factor.K2),
    "K1": ((1, 0, 1, 0, 0), -90, Factor.K1),
    "O1": ((1, -2, 1, 0, 0), 90, Factor.O1),
    "P1": ((1, 0, -1, 0, 0), 90, None),
    "Q1": ((1, -3, 1, 1, 0), 90, Factor.O1),
    "RHO1": ((1, -3, 3, -1, 0), 90, Factor.O1),
    "SIG1": ((1, -4, 3, 0, 0), 90, Factor.O1),
    "2Q1": ((1, -4, 1, 2, 0), 90, Factor.O1),
    "TAU1": ((1, -2, 3, 0, 0), -90, Factor.K1),
    "BETA1": ((1, -1, -1, 1, 0), -90, Factor.O1),
    "M1": ((1, -1, 1, 1, 0), -90, Factor.M1),
    "CHI1": ((1, -1, 3, -1, 0), -90, Factor.J1),
    "PI1": ((1, 0, -2, 0, 1), 90, None),
    "S1": ((1, 0, 0, 0, 0), 0, None),
    "PSI1": ((1, 0, 2, 0, -1), -90, None),
    "PHI1": ((1, 0, 3, 0, 0), -90, None),
    "THE1": ((1, 1, -1, 1, 0), -90, Factor.J1),
    "J1": ((1, 1, 1, -1, 0), -90, Factor.J1),
    "OO1": ((1, 2, 1, 0, 0), -90, Factor.OO1),
    "UPS1": ((1, 3, 1, -1, 0), -90, Factor.OO1),
    "SA": ((0, 0, 1, 0, 0), 0, None),  # counted from the equinox
    "SA1": ((0, 0, 1, 0, -1), 0, None),  # the same counted from perihelion
    "SSA": ((0, 0, 2, 0, 0), 0, None),
    "STA": ((0, 0, 3, 0, 0), 0, None),
    "MSM": ((0, 1, -2, 1, 0), 0, Factor.MM),
    "MM": ((0, 1, 0, -1, 0), 0, Factor.MM),
    "MF": ((0, 2, 0, 0, 0), 0, Factor.MF),
    "MSTM": ((0, 3, -2, 1, 0), 0, Factor.MF),
    "MTM": ((0, 3, 0, -1, 0), 0, Factor.MF),
    "MSQM": ((0, 4, -2, 0, 0), 0, Factor.MF),
    "MQM": ((0, 4, 0, -2, 0), 0, Factor.MF),
}
# S2 less M2, so that the angle of the node turns the other way.
_MSF = Constituent("MSF", (0, 2, -2, 0, 0), 0, ((Factor.M2, -1.0),))

_STANDARD_COMPOUNDS = (
    "2SM2", "MSN2", "MKS2", "MSK2", "2MS2", "2MK2", "2MN2", "SNM2", "2KM2", "SKM2",
    "MNS2", "OP2", "KJ2", "NO1", "SO1", "MP1", "KQ1",
    "M3", "S3", "MK3", "2MK3", "SK3", "SO3", "MO3", "SP3", "NO3", "MQ3", "NK3",
    "M4", "S4", "N4", "MS4", "MN4", "MK4", "SK4", "SN4", "NK4", "ML4", "2MNS4",
    "2MSN4", "3MS4", "3MN4", "2SMN4", "MNU4",
    "2MK5", "2SK5", "2MO5", "MSK5", "3MK5", "MNO5", "NSO5", "MSO5",
    "M6", "S6", "2MN6", "2MS6", "2MK6", "2SM6", "MSN6", "MSK6", "2NM6", "3MNS6",
    "3MSN6", "4MS6", "4MN6", "2ML6", "MKNU6",
    "3MK7", "2MSO7", "3MO7", "2MSK7",
    "M8", "3MS8", "3MN8", "2MSN8", "2(MS)8", "3MK8", "2MNS8", "4MNS8", "3SM8",
    "M10", "4MS10", "4MN10", "3M2S10", "3MSN10", "M12", "5MS12",
)  # fmt: skip

_LETTERS = {
    letter: f"{letter}{kind}"
    for letter, kind in (
        *((letter, 2) for letter in ("M", "S", "N", "L", "T", "R", "NU", "MU", "LAM")),
        *((letter, 1) for letter in ("O", "P", "Q", "J")),
    )
}
_SPELLINGS = {"LDA": "LAM", "LABDA": "LAM", "LAMBDA": "LAM", "V": "NU"}
_LETTER = r"LAMBDA|LABDA|LAM|LDA|NU|MU|[MSNKLTROPQJV]"
_PART = re.compile(rf"(\d?)(?:({_LETTER})|\(((?:\d?(?:{_LETTER}))+)\))")
_INNER = re.compile(rf"(\d?)({_LETTER})")
_COMPOUND = re.compile(r"(.*[A-Z)])(\d{1,2})")
_OVERTIDE = re.compile(r"([MSN])(\d{1,2})")
_HIGHEST_SPECIES = 14

SYNONYMS: Mapping[str, str] = MappingProxyType(
    {
        "LDA2": "LAM2", "LABDA2": "LAM2", "LAMBDA2": "LAM2", "LMD2": "LAM2",
        "RHO": "RHO1", "RO1": "RHO1",
        "SIGMA1": "SIG1", "SGM1": "SIG1", "SIG": "SIG1",
        "THETA1": "THE1", "UPSILON1": "UPS1", "KI1": "CHI1",
        "EPSILON2": "EPS2", "EP2": "EPS2",
        "H1": "ALPHA2", "ALP2": "ALPHA2", "H2": "BETA2", "BET2": "BETA2",
        "BET1": "BETA1", "GAM2": "GAMMA2", "DEL2": "DELTA2",
        "SM": "MSF", "MSFM": "MSF", "MFM": "MTM",
        "SOLARANNUAL": "SA", "SOLARSEMIANNUAL": "SSA",
    }
)  # fmt: skip
_GREEK = {  # by their names in Unicode, without "greek small letter"
    "alpha": "ALPHA", "beta": "BETA", "gamma": "GAMMA", "delta": "DELTA",
    "epsilon": "EPS", "eta": "ETA", "theta": "THE", "lamda": "LAM", "mu": "MU",
    "nu": "NU", "pi": "PI", "rho": "RHO", "sigma": "SIG", "tau": "TAU",
    "upsilon": "UPS", "phi": "PHI", "chi": "CHI", "psi": "PSI",
}  # fmt: skip


def canonical_name(name: str) -> str:
    """A constituent's name as this program writes it, whether it is known or not."""
    spelt = "".join(_latin(c) for c in normalize("NFKC", name.strip().lower()))
    spelt = re.sub(r"[\s_'-]", "", spelt).upper()
    return SYNONYMS.get(spelt, spelt)


@lru_cache(maxsize=1024)
def constituent_of(name: str) -> Constituent | None:
    """The constituent of a name in any usual spelling; None where none is known.

    Names of compounds are read as such: ``2MS6`` is twice M2 and once S2.
    """
    canonical = canonical_name(name)
    if canonical in _PLAIN:
        multiples, constant_deg, factor = _PLAIN[canonical]
        powers = () if factor is None else ((factor, 1.0),)
        return Constituent(canonical, multiples, constant_deg, powers)
    if canonical == _MSF.name:
        return _MSF
    return _overtide(canonical) or _compound(canonical)


def _latin(letter: str) -> str:
    words = letter_name(letter, "").casefold().rpartition("greek small letter ")
    return _GREEK.get(words[2], letter)


def _overtide(name: str) -> Constituent | None:
    """``M4`` is twice M2, ``M3`` one and a half times; ``S3`` is three times T."""
    match = _OVERTIDE.fullmatch(name)
    if match is None:
        return None
    species = int(match.group(2))
    (t, s, h, p, p1), constant_deg, factor = _PLAIN[f"{match.group(1)}2"]
    # Half of an odd multiple is only whole where no perigee takes part.
    if not 3 <= species <= _HIGHEST_SPECIES or (species % 2 and p):
        return None
    if species % 2 and any(species * each % 2 for each in (t, s, h)):
        return None
    halves = [species * each // 2 for each in (t, s, h, p, p1)]
    powers = () if factor is None else ((factor, species / 2.0),)
    return Constituent(name, _five(halves), constant_deg, powers)


def _compound(name: str) -> Constituent | None:
    """The sum of the parts of a name, the last ones taken off where that must be.

    The number at the end counts the highs in a day, which tells whether K is K1
    or K2 and from which part on the parts are taken off.
    """
    match = _COMPOUND.fullmatch(name)
    if match is None:
        return None
    species = int(match.group(2))
    parts = _parts(match.group(1))
    # One part alone is a constituent of its own name, and known or not.
    if len(parts) < 2 or not 1 <= species <= _HIGHEST_SPECIES:
        return None
    for taken_off in range(len(parts)):
        signs = [1] * (len(parts) - taken_off) + [-1] * taken_off
        times = [sign * n for sign, (n, _) in zip(signs, parts, strict=True)]
        if found := _of_species(name, parts, times, species):
            return found
    # Names such as 3MS2 leave it to arithmetic that the last comes off twice.
    twice = [n for n, _ in parts[:-1]] + [-2 * parts[-1][0]]
    return _of_species(name, parts, twice, species)


def _of_species(
    name: str, parts: list[tuple[int, str]], times: list[int], species: int
) -> Constituent | None:
    for k in ("K2", "K1"):
        named = [_LETTERS.get(letter, k) for _, letter in parts]
        found = _sum(name, list(zip(named, times, strict=True)))
        if found.multiples[0] == species:
            return found
    return None


def _parts(text: str) -> list[tuple[int, str]]:
    """How often and which, for each letter of a compound; empty if it is none."""
    parts: list[tuple[int, str]] = []
    end = 0
    while end < len(text):
        match = _PART.match(text, end)
        if match is None:
            return []
        end = match.end()
        times = int(match.group(1) or 1)
        inner = _INNER.findall(match.group(3) or match.group(2))
        parts += [(times * int(n or 1), _SPELLINGS.get(a, a)) for n, a in inner]
    return parts


def _sum(name: str, parts: list[tuple[str, int]]) -> Constituent:
    multiples = [0, 0, 0, 0, 0]
    constant_deg = 0
    powers: list[tuple[Factor, float]] = []
    for part, times in parts:
        each, constant, factor = _PLAIN[part]
        multiples = [a + times * b for a, b in zip(multiples, each, strict=True)]
        constant_deg += times * constant
        if factor is not None:
            powers.append((factor, float(times)))
    return Constituent(name, _five(multiples), constant_deg, tuple(powers))


def _five(values: list[int]) -> Multiples:
    t, s, h, p, p1 = values
    return t, s, h, p, p1


def _known() -> dict[str, Constituent]:
    names = chain(_PLAIN, (_MSF.name,), _STANDARD_COMPOUNDS)
    found = {name: constituent_of(name) for name in names}
    return {name: one for name, one in found.items() if one is not None}


CONSTITUENTS: Mapping[str, Constituent] = MappingProxyType(_known())
