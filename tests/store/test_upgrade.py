"""Every library file ends up with the tables that the program expects."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from uuid import uuid4

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine

from fieldtrip.errors import UserError
from fieldtrip.files import own_folder
from fieldtrip.places.records import VantagePoint
from fieldtrip.store import upgrade as upgrade_module
from fieldtrip.store.changes import Change
from fieldtrip.store.engine import Mode, library_engine
from fieldtrip.store.search_index import is_index_table
from fieldtrip.store.store import Store
from fieldtrip.store.tables import Base
from fieldtrip.store.upgrade import (
    APPLICATION_ID,
    empty_library,
    known_revisions,
    newest_revision,
)
from tests.store.stories import (
    BAR,
    BAY,
    CLOSURE,
    COAST,
    LEDGE,
    NOTE,
    PERMIT,
    PORT,
    SEEN,
    WAY,
    added,
)

HEAD = VantagePoint(
    location_id=BAY.id, name="Head", position=BAY.position, on_headland=True
)
FLAT = replace(HEAD, id=uuid4(), name="Flat", on_headland=False)
NEXT = '''"""A column more."""

import sqlalchemy as sa
from alembic import op

revision = "9001"
down_revision = "{head}"


def upgrade() -> None:
    with op.batch_alter_table("location", recreate="always") as location:
        location.add_column(sa.Column("colour", sa.Text(), nullable=True))
    {then}
'''


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a library of this version lies, closed."""
    path = tmp_path / "coast.fieldtrip"
    store = Store.open(path)
    store.apply(added(*COAST))
    store.close()
    return path


@pytest.fixture
def later(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """The migrations of a later version, which has one more."""
    folder = tmp_path / "migrations % of later"
    shutil.copytree(own_folder("migrations"), folder)
    added_one = folder / "versions" / "9001_later.py"
    added_one.write_text(NEXT.format(head=newest_revision(), then="pass"))
    forget()
    monkeypatch.setattr(upgrade_module, "own_folder", lambda _: folder)
    yield added_one
    forget()


def forget() -> None:
    """Have the migrations looked up again."""
    for known in (known_revisions, newest_revision, empty_library):
        known.cache_clear()


def columns(path: Path, table: str) -> list[str]:
    """The names of a table's columns."""
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute(f"PRAGMA table_info({table})").fetchall()
    return [row[1] for row in rows]


def first_library(path: Path) -> None:
    """A library as the first migration made it, with a few records in it."""
    engine = library_engine(path, Mode.NEW)
    config = Config()
    config.set_main_option("script_location", str(own_folder("migrations")))
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "0001")
        run = connection.exec_driver_sql
        run(f"PRAGMA application_id = {APPLICATION_ID}")
        run(
            "INSERT INTO location (id, name, lat_deg, lon_deg, zone, notes) "
            "VALUES (?, 'Bay', 49.6, -8.4, 'Europe/Dublin', 'Kelp.')",
            (BAY.id.hex,),
        )
        run(
            "INSERT INTO access_route (id, location_id, name, notes) "
            "VALUES (?, ?, 'Over the bar', '')",
            (WAY.id.hex, BAY.id.hex),
        )
        run(
            "INSERT INTO refuge (id, location_id, name, lat_deg, lon_deg, notes) "
            "VALUES (?, ?, 'Ledge', 49.61, -8.41, '')",
            (LEDGE.id.hex, BAY.id.hex),
        )
        run(
            "INSERT INTO leg (id, route_id, number, name, line, ground, shut_datum, "
            "refuge_id) VALUES (?, ?, 1, 'Bar', '[[49.6, -8.4], [49.61, -8.41]]', "
            "'not known', '', ?)",
            (BAR.id.hex, WAY.id.hex, LEDGE.id.hex),
        )
        for point in (HEAD, FLAT):
            run(
                "INSERT INTO vantage_point (id, location_id, name, lat_deg, lon_deg, "
                "eye_height_m, on_headland, notes) VALUES (?, ?, ?, 49.6, -8.4, 1.6, "
                "?, '')",
                (point.id.hex, BAY.id.hex, point.name, point.on_headland),
            )
    engine.dispose()


def differences(engine: Engine) -> list[object]:
    """What the tables of a file and those of the program do not share."""
    with engine.connect() as connection:
        context = MigrationContext.configure(
            connection,
            opts={"include_name": lambda name, *_: not is_index_table(name)},
        )
        return list(compare_metadata(context, Base.metadata))


def test_migrations_build_the_tables_of_the_program(path: Path) -> None:
    engine = library_engine(path)
    found = differences(engine)
    engine.dispose()

    assert found == []


def test_a_missing_column_would_be_found(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("ALTER TABLE hazard DROP COLUMN height_m")

    engine = library_engine(path)
    found = differences(engine)
    engine.dispose()

    assert len(found) == 1


def test_a_library_in_memory_has_the_same_tables(store: Store) -> None:
    assert differences(store._engine) == []


def test_an_older_library_is_backed_up_and_brought_up_to_date(
    path: Path, later: Path
) -> None:
    before = path.read_bytes()

    store = Store.open(path)

    backup = path.with_name("coast.fieldtrip.before-9001")
    assert backup.read_bytes()[100:] == before[100:]  # the header counts writings
    assert "colour" in columns(path, "location")
    assert "colour" not in columns(backup, "location")
    for record in COAST:
        assert store.get(type(record), record.id) == record
    store.close()


def test_a_backup_holds_what_only_the_log_holds(path: Path, later: Path) -> None:
    # Another window of the older version is open: its log is not in the file yet.
    other = sqlite3.connect(path)
    other.execute("PRAGMA journal_mode = WAL")
    with other:
        other.execute("UPDATE location SET name = 'Cove'")

    store = Store.open(path)
    store.close()
    other.close()

    backup = path.with_name("coast.fieldtrip.before-9001")
    with closing(sqlite3.connect(backup)) as connection:
        assert connection.execute("SELECT name FROM location").fetchone() == ("Cove",)


def test_a_backup_never_replaces_another(path: Path, later: Path) -> None:
    earlier = path.with_name("coast.fieldtrip.before-9001")
    earlier.write_bytes(b"of another day")

    Store.open(path).close()

    assert earlier.read_bytes() == b"of another day"
    assert path.with_name("coast.fieldtrip.before-9001-2").is_file()


def test_the_first_library_is_brought_up_to_date_with_all_it_holds(
    tmp_path: Path,
) -> None:
    path = tmp_path / "first.fieldtrip"
    first_library(path)

    store = Store.open(path)

    assert path.with_name(f"first.fieldtrip.before-{newest_revision()}").is_file()
    assert store.locations() == [replace(BAY, notes="Kelp.")]
    assert store.get(type(WAY), WAY.id) == WAY
    assert store.get(type(BAR), BAR.id) == BAR
    assert set(store.all(VantagePoint)) == {HEAD, FLAT}
    assert [hit.record_id for hit in store.search("kelp")] == [BAY.id]
    assert [hit.record_id for hit in store.search("bar")] == [BAR.id, WAY.id]
    store.apply(added(PERMIT, CLOSURE))
    assert store.dossier(BAY.id).permits == (PERMIT,)
    assert store.dossier(BAY.id).closures == (CLOSURE,)
    here = replace(BAY, notes="Kelp.", station_id=PORT.id)
    store.apply([*added(PORT, SEEN), Change(replace(here, station_id=None), here)])
    assert store.dossier(BAY.id).stations == (PORT,)
    assert store.dossier(BAY.id).observations == (SEEN,)
    assert differences(store._engine) == []
    store.close()


def test_the_full_text_index_outlives_a_copied_table(path: Path, later: Path) -> None:
    store = Store.open(path)

    renamed = replace(BAY, name="Anchorage")
    assert [hit.record_id for hit in store.search("stile")] == [NOTE.id]
    store.apply([Change(BAY, renamed)])
    assert [hit.record_id for hit in store.search("anchor")] == [BAY.id]
    assert [hit.record_id for hit in store.search("bay")] == []
    store.apply([Change(renamed, BAY)])
    assert [hit.record_id for hit in store.search("bay")] == [BAY.id]
    store.close()


def test_a_new_library_needs_no_backup(tmp_path: Path, later: Path) -> None:
    path = tmp_path / "new.fieldtrip"

    Store.open(path).close()

    assert [p.name for p in tmp_path.glob("new*")] == ["new.fieldtrip"]


def test_a_migration_that_fails_leaves_the_library_as_it_was(
    path: Path, later: Path
) -> None:
    then = 'op.execute("INSERT INTO nowhere VALUES (1)")'
    later.write_text(later.read_text().replace("    pass", f"    {then}"))
    before = path.read_bytes()

    with pytest.raises(UserError, match="could not be read or written"):
        Store.open(path)

    assert path.read_bytes() == before


def test_a_migration_that_breaks_a_key_is_taken_back(path: Path, later: Path) -> None:
    then = 'op.execute("DELETE FROM location")'
    later.write_text(later.read_text().replace("    pass", f"    {then}"))
    before = path.read_bytes()

    with pytest.raises(UserError, match="damaged"):
        Store.open(path)

    assert path.read_bytes() == before


def test_without_a_backup_nothing_is_changed(
    path: Path, later: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(self: Path, target: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", refuse)
    before = path.read_bytes()

    with pytest.raises(UserError, match="the backup before that could not be written"):
        Store.open(path)

    assert path.read_bytes() == before
    assert not list(path.parent.glob("*.unfinished"))


def test_a_damaged_library_names_its_newest_backup(path: Path, later: Path) -> None:
    Store.open(path).close()
    path.write_bytes(path.read_bytes()[:9000])

    with pytest.raises(UserError, match=r"open “coast\.fieldtrip\.before-9001”"):
        Store.open(path)


def test_a_backup_opens_as_a_library(path: Path, later: Path) -> None:
    Store.open(path).close()

    store = Store.open(path.with_name("coast.fieldtrip.before-9001"))

    assert store.locations() == [BAY]
    store.close()


def test_a_file_is_made_only_where_that_is_meant(tmp_path: Path) -> None:
    engine = library_engine(tmp_path / "none.fieldtrip", Mode.WRITE)

    with pytest.raises(Exception, match="unable to open"):
        engine.connect()

    assert list(tmp_path.iterdir()) == []


def test_files_of_migrations_are_named_after_their_revisions() -> None:
    config = Config()
    config.set_main_option("script_location", str(own_folder("migrations")))
    config.set_main_option("path_separator", "os")
    scripts = ScriptDirectory.from_config(config)

    assert known_revisions() == {s.revision for s in scripts.walk_revisions()}
    assert newest_revision() == scripts.get_current_head()
