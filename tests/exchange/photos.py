"""Pictures that say of themselves what a test wants.

Source of the tags: CIPA DC-008-2019 (Exif 2.32), sections 4.6.4 to 4.6.6.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from PIL import Image
from PIL.TiffImagePlugin import IFDRational

GPS_IFD, EXIF_IFD = 0x8825, 0x8769
# 49 deg 36.204 min N, 8 deg 24 min 4.32 s W
GPS: dict[int, Any] = {
    1: "N",
    2: (IFDRational(49), IFDRational(36204, 1000), IFDRational(0)),
    3: "W",
    4: (IFDRational(8), IFDRational(24), IFDRational(432, 100)),
    16: "T",
    17: IFDRational(28550, 100),
    31: IFDRational(35, 10),
}
TIMES = {0x9003: "2026:08:15 20:14:05", 0x9011: "+01:00"}


def photo(
    path: Path,
    gps: dict[int, Any] | None = None,
    times: dict[int, Any] | None = None,
    *,
    size: tuple[int, int] = (640, 480),
    orientation: int = 1,
) -> Path:
    """A picture that says these things of itself."""
    picture = Image.effect_noise(size, 40).convert("RGB")
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif.get_ifd(GPS_IFD).update(GPS if gps is None else gps)
    exif.get_ifd(EXIF_IFD).update(TIMES if times is None else times)
    whole = Image.Exif()
    whole.load(exif.tobytes())  # TIFF is written with what was read, not put in
    picture.save(path, exif=whole)
    return path
