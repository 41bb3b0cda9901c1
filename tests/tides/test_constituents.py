"""Names of constituents in any spelling, and the speeds their authorities print."""

from __future__ import annotations

import pytest

from fieldtrip.tides.constants import Constant, HarmonicConstants
from fieldtrip.tides.constituents import (
    CONSTITUENTS,
    SYNONYMS,
    canonical_name,
    constituent_of,
)
from tests.tides.published import published_speeds


def speed(name: str) -> float:
    found = constituent_of(name)
    assert found is not None
    return found.speed_deg_per_h


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        # Source: Schureman, SP 98 (1958), table 2.
        ("M2", 28.9841042), ("S2", 30.0), ("N2", 28.4397295), ("K1", 15.0410686),
        ("O1", 13.9430356), ("P1", 14.9589314), ("SA", 0.0410686),
        ("M1", 14.4966939), ("L2", 29.5284789),
        # Source: CNES, documentation of FES, table of constituents.
        ("SIG1", 12.9271398), ("TAU1", 14.0251729), ("BETA1", 14.4145566),
        ("CHI1", 14.5695476), ("PI1", 14.9178647), ("PSI1", 15.0821353),
        ("PHI1", 15.1232059), ("THE1", 15.5125897), ("SO1", 16.0569644),
        ("UPS1", 16.6834764), ("EPS2", 27.4238338), ("GAMMA2", 28.9112506),
        ("ALPHA2", 28.9430376), ("BETA2", 29.0251709), ("DELTA2", 29.0662415),
        ("SA1", 0.0410667), ("STA", 0.1232059), ("MSM", 0.4715211),
        ("MSTM", 1.5695541), ("MTM", 1.6424078), ("MSQM", 2.1139288),
        ("MQM", 2.1867825), ("MKS2", 29.0662415), ("2MN2", 29.5284790),
    ],
)  # fmt: skip
def test_speeds_agree_to_the_last_printed_digit(name: str, expected: float) -> None:
    assert speed(name) == pytest.approx(expected, abs=1.5e-7)


def test_all_of_noaas_speeds() -> None:
    published = published_speeds()  # seven or eight digits

    assert len(published) == 37
    for name, expected in published.items():
        assert speed(name) == pytest.approx(expected, abs=1e-5), name


def test_enough_constituents_are_known() -> None:
    assert len(CONSTITUENTS) >= 60
    assert all(name == one.name for name, one in CONSTITUENTS.items())


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("LDA2", "LAM2"), ("LABDA2", "LAM2"), ("λ2", "LAM2"), ("lambda2", "LAM2"),
        ("RHO", "RHO1"), ("RO1", "RHO1"), ("SM", "MSF"), ("MSf", "MSF"),
        ("H1", "ALPHA2"), ("H2", "BETA2"), ("µ2", "MU2"), ("Mf", "MF"),
        (" m2 ", "M2"), ("Ssa", "SSA"),
        ("\N{GREEK SMALL LETTER RHO}1", "RHO1"),
        ("\N{GREEK SMALL LETTER NU}2", "NU2"),
        ("\N{GREEK SMALL LETTER SIGMA}1", "SIG1"),
    ],
)  # fmt: skip
def test_spellings_of_one_constituent(one: str, other: str) -> None:
    assert canonical_name(one) == other
    assert constituent_of(one) == constituent_of(other) is not None


def test_every_synonym_leads_somewhere() -> None:
    assert {name for name in SYNONYMS.values() if constituent_of(name) is None} == set()


@pytest.mark.parametrize(
    ("name", "parts"),
    [
        # The parts by the rule of the standard list of constituents, Internation-
        # al Hydrographic Organization: what follows comes off where it must.
        ("2MS6", "M2 M2 S2"), ("2SM2", "S2 S2 -M2"), ("MSN2", "M2 S2 -N2"),
        ("MNS2", "M2 N2 -S2"), ("2MK3", "M2 M2 -K1"), ("MK3", "M2 K1"),
        ("MK4", "M2 K2"), ("2MK5", "M2 M2 K1"), ("3M2S10", "M2 M2 M2 S2 S2"),
        ("2(MS)8", "M2 M2 S2 S2"), ("4MS6", "M2 M2 M2 M2 -S2"),
        ("2MNS4", "M2 M2 N2 -S2"), ("MNU4", "M2 NU2"), ("MV4", "M2 NU2"),
        ("2KO1", "K1 K1 -O1"), ("SO1", "S2 -O1"), ("MP1", "M2 -P1"),
        ("2SNMK2", "S2 S2 N2 -M2 -K2"), ("MLABDA4", "M2 LAM2"), ("M4", "M2 M2"),
        ("N4", "N2 N2"), ("S6", "S2 S2 S2"), ("KJ2", "K1 J1"),
        ("3MS2", "M2 M2 M2 -S2 -S2"), ("4MS4", "M2 M2 M2 M2 -S2 -S2"),
        ("NLK2", "N2 L2 -K2"), ("3KM5", "K1 K1 K1 M2"),
    ],
)  # fmt: skip
def test_compounds_are_the_sum_of_their_parts(name: str, parts: str) -> None:
    expected = sum(
        speed(part.lstrip("-")) * (-1 if part.startswith("-") else 1)
        for part in parts.split()
    )

    assert speed(name) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    "name", ["", "X1", "M", "2", "ZZ9", "M99", "MS", "MS0", "N3", "2MS5", "(MS", "M2M2"]
)
def test_what_is_no_constituent_is_not_guessed(name: str) -> None:
    assert constituent_of(name) is None


def test_what_is_not_recognised_is_summed_up() -> None:
    constants = HarmonicConstants(
        port="Port",
        datum="MLLW",
        z0_m=1.0,
        constants=(
            Constant("M2", 1.0, 10.0),
            Constant("XY7", 0.02, 0.0),
            Constant("QQQ", 0.03, 0.0),
            Constant("ZZ9", 0.0, 0.0),
        ),
    )

    unknown = constants.unrecognised()

    assert unknown.names == ("XY7", "QQQ")
    assert unknown.amplitude_m == pytest.approx(0.05)
    assert [one.name for one, _ in constants.recognised()] == ["M2"]


def test_faults_of_constants_are_said() -> None:
    twice = (Constant("RHO", 0.1, 0.0), Constant("RHO1", 0.1, 0.0))
    wrong = (Constant("M2", float("nan"), 0.0), Constant("S2", 1.0, 1e9))

    def faults(constants: tuple[Constant, ...]) -> str:
        found = HarmonicConstants(
            port="Port", datum="MLLW", z0_m=0.0, constants=constants
        )
        return " ".join(found.faults())

    assert "RHO1 is given twice" in faults(twice)
    assert "amplitude of M2" in faults(wrong)
    assert "phase of S2" in faults(wrong)
    assert "at least one" in faults(())
    assert "give it as z0" in faults((Constant("A0", 1.8, 0.0),))
