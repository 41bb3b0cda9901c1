"""The harmonic constants of a port, as its authority publishes them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fieldtrip.faults import finite, missing_name
from fieldtrip.tides.constituents import Constituent, canonical_name, constituent_of

LARGEST_AMPLITUDE_M = 20.0
# Without these five no tide is told, whatever its sort.  Common practice: they are
# the ones by which the sort of a tide is told, and the last to be left out.
MAIN = ("M2", "S2", "N2", "K1", "O1")
_MEAN_LEVEL = ("A0", "Z0", "MSL")


@dataclass(frozen=True, slots=True)
class Constant:
    """Amplitude and phase of one constituent at a port."""

    name: str  # of the constituent, in any usual spelling
    amplitude_m: float
    greenwich_phase_deg: float  # lag behind the argument at Greenwich, UTC


@dataclass(frozen=True, slots=True)
class Unrecognised:
    """Constituents of whose argument nothing is known, so that they are left out."""

    names: tuple[str, ...]
    amplitude_m: float  # summed: how far the prediction may be wrong by them


@dataclass(frozen=True, slots=True, kw_only=True)
class HarmonicConstants:
    """Everything a harmonic prediction needs."""

    port: str
    datum: str  # what heights count from, as the authority names it; empty: not said
    z0_m: float  # mean level above that datum
    constants: tuple[Constant, ...]

    def faults(self) -> list[str]:
        """Say what is wrong with them, in plain sentences."""
        found = missing_name(self.port, "tide station")
        found += finite("The mean level z0", self.z0_m, -30.0, 30.0, "m")
        if not self.constants:
            return [*found, "A tide station needs at least one constituent."]
        for each in self.constants:
            found += finite(
                f"The amplitude of {each.name}",
                each.amplitude_m,
                0.0,
                LARGEST_AMPLITUDE_M,
                "m",
            )
            phase = each.greenwich_phase_deg
            found += finite(
                f"The phase of {each.name}", phase, -720.0, 720.0, "degrees"
            )
        if any(canonical_name(each.name) in _MEAN_LEVEL for each in self.constants):
            found.append("The mean level is no constituent: give it as z0.")
        twice = _twice(canonical_name(each.name) for each in self.constants)
        if twice:
            found.append(f"The constituent {twice} is given twice.")
        return found

    def recognised(self) -> tuple[tuple[Constituent, Constant], ...]:
        """The constants that are not zero, each with its constituent."""
        pairs = ((constituent_of(each.name), each) for each in self._in_use())
        return tuple((one, each) for one, each in pairs if one is not None)

    def unrecognised(self) -> Unrecognised:
        """What the prediction leaves out."""
        unknown = [each for each in self._in_use() if constituent_of(each.name) is None]
        names = tuple(each.name for each in unknown)
        return Unrecognised(names, sum(each.amplitude_m for each in unknown))

    def lacking(self) -> tuple[str, ...]:
        """The main constituents of which nothing is given; one given as zero is."""
        given = {canonical_name(each.name) for each in self.constants}
        return tuple(name for name in MAIN if name not in given)

    def _in_use(self) -> Iterable[Constant]:
        return (each for each in self.constants if each.amplitude_m != 0.0)


def _twice(names: Iterable[str]) -> str | None:
    seen: set[str] = set()
    for name in names:
        if name in seen:
            return name
        seen.add(name)
    return None
