"""A track of 100,000 points, beside gpxpy: the time to read it, and the memory.

Each reader has a process of its own, since memory that was once taken is not given
back.  Ours ends at positions that are checked, theirs at points as they stand.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.bench.rows import Row

POINTS = 100_000
_ROOT = Path(__file__).parents[2]
_READERS = {
    "ours": (
        "from fieldtrip.exchange.gpx import read_gpx",
        "kept = read_gpx(path.read_bytes(), path.name)",
        "len(kept.places[0].positions)",
    ),
    "gpxpy": (
        "import gpxpy",
        "kept = gpxpy.parse(path.open(encoding='utf-8'))",
        "kept.get_track_points_no()",
    ),
}
_CODE = """
import json, resource, sys
from pathlib import Path
from time import perf_counter
{load}
def most_mb():
    status = Path("/proc/self/status")
    if status.exists():  # what getrusage tells on Linux includes the parent's peak
        words = status.read_text().split()
        return int(words[words.index("VmHWM:") + 1]) / 1e3
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / (1e6 if sys.platform == "darwin" else 1e3)
path = Path(sys.argv[1])
idle = most_mb()
start = perf_counter()
{read}
took = perf_counter() - start
print(json.dumps([took, most_mb() - idle, {count}]))
"""


def run() -> list[Row]:
    """Seconds to read, and the most memory above idle meanwhile."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "long.gpx"
        path.write_text(_track(), encoding="utf-8")
        size_mb = path.stat().st_size / 1e6
        ours = _measured("ours", path)
        theirs = _measured("gpxpy", path)
    what = f"GPX of {POINTS:,} points, {size_mb:.1f} MB"
    return [
        Row(f"{what}: reading", ours[0], "s", "gpxpy", theirs[0]),
        Row(f"{what}: memory above idle", ours[1], "MB", "gpxpy", theirs[1]),
    ]


def _measured(name: str, path: Path) -> tuple[float, float]:
    """The shortest time of three processes, and the least memory."""
    load, read, count = _READERS[name]
    code = _CODE.format(load=load, read=read, count=count)
    runs = []
    for _ in range(3):
        ran = subprocess.run(
            [sys.executable, "-c", code, str(path)],
            cwd=_ROOT,
            capture_output=True,
            text=True,
            check=True,
        )
        took_s, extra_mb, points = json.loads(ran.stdout)
        if points != POINTS:
            raise RuntimeError(f"{name} read {points} of {POINTS} points")
        runs.append((took_s, extra_mb))
    return min(run[0] for run in runs), min(run[1] for run in runs)


def _track() -> str:
    """A track as a device writes it, with a height and an instant at each point."""
    points = "\n".join(
        f'<trkpt lat="{49.6 + k * 1e-6:.6f}" lon="{-8.4 - k * 2e-6:.6f}">'
        f"<ele>{10 + k % 90}</ele>"
        f"<time>2026-05-01T{k // 3600 % 24:02d}:{k // 60 % 60:02d}:{k % 60:02d}Z</time>"
        "</trkpt>"
        for k in range(POINTS)
    )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><name>Long</name><trkseg>\n{points}\n</trkseg></trk></gpx>"
    )
