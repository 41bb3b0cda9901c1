"""A program killed between two edits, or in one, loses nothing that was made."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from fieldtrip.places.records import AccessNote, Location
from fieldtrip.store.store import Store
from tests.store.stories import BAY, added

EDITS_PER_ROUND = 40
# Writes notes for ever, and says the text of each once it is made.
WRITER = """
import sys
from datetime import date
from itertools import count
from pathlib import Path

from fieldtrip.places.records import AccessNote, NoteKind
from fieldtrip.store.store import Change, Store

store = Store.open(Path(sys.argv[1]))
(bay,) = store.locations()
for i in count():
    text = f"{sys.argv[2]} {i} " + "x" * (i % 7 * 1000)
    note = AccessNote(
        location_id=bay.id, day=date(2026, 1, 1), kind=NoteKind.OTHER, text=text
    )
    store.apply([Change(None, note)])
    sys.stdout.write(text + "\\n")
    sys.stdout.flush()
"""


@pytest.mark.slow
def test_nothing_made_is_lost_in_five_rounds_of_killing(tmp_path: Path) -> None:
    path = tmp_path / "coast.fieldtrip"
    store = Store.open(path)
    store.apply(added(BAY))
    store.close()
    said: list[str] = []

    for number in range(5):
        said += kill_after(EDITS_PER_ROUND + 7 * number, path, f"round {number}")

    store = Store.open(path)
    kept = [note.text for note in store.all(AccessNote)]
    assert len(said) > 5 * EDITS_PER_ROUND
    assert set(said) <= set(kept)
    # The one edit of a round that was made but not yet said may be there too.
    assert len(said) <= len(kept) <= len(said) + 5
    assert store.all(Location) == [BAY]
    store.close()


def kill_after(edits: int, path: Path, name: str) -> list[str]:
    """Let the writer make some edits, kill it, and give back what it said it made."""
    command = [sys.executable, "-c", WRITER, str(path), name]
    folder = Path(__file__).parents[2]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=folder
    ) as writer:
        if writer.stdout is None or writer.stderr is None:
            raise AssertionError("no pipes")
        lines = []
        for line in writer.stdout:
            lines.append(line)
            if len(lines) == edits:
                writer.kill()
                break
        lines += writer.stdout.readlines()
        assert len(lines) >= edits, writer.stderr.read()
    # A line that was cut off was not said.
    return [line.removesuffix("\n") for line in lines if line.endswith("\n")]
