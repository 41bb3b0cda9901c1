"""A photograph made small enough to travel in a sheet, with nothing else in it."""

from __future__ import annotations

import io
import warnings

from PIL import Image, ImageOps

from fieldtrip.errors import UserError
from fieldtrip.reports.sheet import Photo

LARGEST_BYTES = 100_000  # twelve of them leave a page below 2 MB
_WIDEST = 1000  # pixels
_QUALITIES = (80, 65, 50, 35)


def reference_photo(data: bytes, caption: str) -> Photo:
    """A picture as a small JPEG, upright, without place, name or camera in it.

    Raises `UserError` for what is no picture, or a damaged one.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data)) as opened:
                opened.draft("RGB", (2 * _WIDEST, 2 * _WIDEST))  # a JPEG's own sizes
                picture = ImageOps.exif_transpose(opened).convert("RGB")
    except (
        OSError,
        ValueError,
        SyntaxError,  # Pillow's word for a broken PNG
        Image.DecompressionBombError,
        Image.DecompressionBombWarning,
    ) as error:
        raise UserError(
            f"“{caption}” is no picture that can be read, or is damaged."
        ) from error
    width = _WIDEST
    while True:
        small = picture.copy()
        small.thumbnail((width, width))
        for quality in _QUALITIES:
            written = io.BytesIO()
            small.save(written, "JPEG", quality=quality, optimize=True)
            if written.tell() <= LARGEST_BYTES:
                return Photo(written.getvalue(), caption)
        width = width * 2 // 3  # noise does not compress
