"""Where the program keeps what belongs to the user and to this machine."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import platformdirs

LIBRARY_SUFFIX = ".fieldtrip"
LIBRARY_FILTER = f"Fieldtrip libraries (*{LIBRARY_SUFFIX});;All files (*)"


@dataclass(frozen=True, slots=True)
class Paths:
    """Folders; made when something is first written."""

    data: Path  # the usual library
    config: Path  # settings and the window's layout
    cache: Path  # what can be made again
    log: Path

    @classmethod
    def usual(cls) -> Paths:
        """The folders that the operating system sets aside for this user."""
        own = platformdirs.PlatformDirs("fieldtrip", appauthor=False)
        return cls(
            own.user_data_path,
            own.user_config_path,
            own.user_cache_path,
            own.user_log_path,
        )

    @classmethod
    def below(cls, folder: Path) -> Paths:
        """Everything below one folder; for tests."""
        return cls(*(folder / name for name in ("data", "config", "cache", "log")))

    @property
    def usual_library(self) -> Path:
        """The library that opens when none is named."""
        return self.data / f"library{LIBRARY_SUFFIX}"
