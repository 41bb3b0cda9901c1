"""The project as a whole: what is shipped, what starts it, what it is built on."""

from __future__ import annotations

import ast
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from PySide6.QtCore import QObject, Signal

from resources import bootstrap

ROOT = Path(__file__).parents[1]
TOP = {
    "README.md", "DEVELOPERS.md", "pyproject.toml",
    "fieldtrip", "resources", "tests", "migrations",
}  # fmt: skip


@pytest.fixture
def nowhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A project folder in which nothing has been installed."""
    (tmp_path / "pyproject.toml").write_text("[project]\nname = 'fieldtrip'\n")
    monkeypatch.setattr(bootstrap, "ROOT", tmp_path)
    monkeypatch.setattr(bootstrap, "VENV", tmp_path / ".venv")
    monkeypatch.setattr(bootstrap, "STAMP", tmp_path / ".venv" / "stamp.json")
    return tmp_path


def shipped(folder: str) -> set[str]:
    """The files of a folder that git keeps; without git, all that are not hidden."""
    git = shutil.which("git")
    if git is not None and (ROOT / ".git").exists():
        listed = subprocess.run(
            [git, "-c", f"safe.directory={ROOT}", "ls-files", "-z", folder],
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=True,
        )
        return {name for name in listed.stdout.split("\0") if name}
    files = (path.relative_to(ROOT) for path in (ROOT / folder).rglob("*"))
    return {
        file.as_posix()
        for file in files
        if (ROOT / file).is_file()
        and not any(part.startswith((".", "__pycache__")) for part in file.parts)
    }


@pytest.mark.slow
def test_a_wheel_carries_resources_and_migrations(tmp_path: Path) -> None:
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d"]
    subprocess.run([*build, str(tmp_path)], cwd=ROOT, check=True, capture_output=True)

    (wheel,) = tmp_path.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())

    expected = {f"fieldtrip/{name}" for name in shipped("resources")}
    expected |= {f"fieldtrip/{name}" for name in shipped("migrations")}
    expected |= shipped("fieldtrip")
    assert {
        "fieldtrip/migrations/env.py",
        "fieldtrip/migrations/versions/0001_first_tables.py",
        "fieldtrip/resources/LICENSE",
        "fieldtrip/store/store.py",
    } <= expected
    assert [name for name in expected if name.endswith(".js")]
    assert expected - names == set()
    assert any(name.endswith("licenses/resources/LICENSE") for name in names)
    assert not [name for name in names if "tests/" in name or "__pycache__" in name]


def test_the_top_level_holds_what_was_agreed_and_no_more() -> None:
    top = {name.split("/")[0] for name in shipped(".")}

    assert {name for name in top if not name.startswith(".")} == TOP


def test_the_readme_opens_with_the_job_and_names_both_commands() -> None:
    lines = (ROOT / "README.md").read_text(encoding="utf-8").splitlines()

    assert lines[0] == "# Fieldtrip"
    assert len(lines[2]) > 300
    assert lines[3] == ""
    assert "python3 resources/bootstrap.py run" in lines
    assert "python3 resources/bootstrap.py test" in lines


def test_every_check_is_one_command() -> None:
    script = ROOT / ".ci" / "run"

    assert "python3 resources/bootstrap.py test" in script.read_text()
    assert sys.platform == "win32" or os.access(script, os.X_OK)


@pytest.mark.parametrize("folder", ["tests/data", "resources/data"])
def test_every_table_of_figures_says_where_it_comes_from(folder: str) -> None:
    names = {Path(name).name for name in shipped(folder)} - {"SOURCES.md"}
    sources = ROOT / folder / "SOURCES.md"

    told = sources.read_text(encoding="utf-8") if names else ""

    assert [name for name in sorted(names) if name not in told] == []


def test_an_old_python_is_told_which_one_is_needed(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bootstrap, "OLDEST_PYTHON", (99, 1))

    assert bootstrap.main(["run"]) == 1

    said = capsys.readouterr().out
    assert said.startswith("Fieldtrip needs Python 99.1 or newer; this is 3.")


def test_old_pythons_can_read_the_sentence() -> None:
    source = (ROOT / "resources" / "bootstrap.py").read_text(encoding="utf-8")

    ast.parse(source, feature_version=(3, 7))


def test_without_arguments_it_says_what_there_is(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert bootstrap.main([]) == 2
    assert "resources/bootstrap.py run" in capsys.readouterr().out


def test_without_a_display_it_says_so() -> None:
    if not bootstrap.IS_LINUX:
        pytest.skip("other systems always have one")

    with pytest.raises(bootstrap.CannotGoOn, match="no display here"):
        bootstrap.refuse_no_display({"HOME": "/"})

    bootstrap.refuse_no_display({"WAYLAND_DISPLAY": "wayland-0"})


def test_a_missing_venv_names_the_package_that_brings_it(
    nowhere: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bootstrap, "has_venv", lambda: False)
    monkeypatch.setattr(bootstrap, "can_install_packages", lambda: False)

    with pytest.raises(bootstrap.CannotGoOn, match="apt-get install python3-venv"):
        bootstrap.make_venv()


def test_what_is_installed_is_installed_again_only_when_it_changes(
    nowhere: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls: list[list[str]] = []

    def call(command: list[str], **_: object) -> int:
        calls.append(command)
        return 0

    monkeypatch.setattr(bootstrap, "venv_works", lambda: True)
    monkeypatch.setattr(subprocess, "call", call)
    bootstrap.VENV.mkdir()

    bootstrap.install("test")
    bootstrap.install("test")
    bootstrap.install("")
    assert [command[-1] for command in calls] == [".[test]"]

    (nowhere / "pyproject.toml").write_text("[project]\nname = 'other'\n")
    bootstrap.install("")
    bootstrap.install("test")
    assert [command[-1] for command in calls] == [".[test]", ".", ".[test]"]


def test_a_failed_installation_is_not_taken_for_one(
    nowhere: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bootstrap, "venv_works", lambda: True)
    monkeypatch.setattr(subprocess, "call", lambda *_, **__: 1)
    bootstrap.VENV.mkdir()

    with pytest.raises(bootstrap.CannotGoOn, match="could not be installed"):
        bootstrap.install("")

    assert not bootstrap.STAMP.exists()


@pytest.mark.parametrize("known", ["libasound2", "libasound2t64"])
def test_a_renamed_package_is_found_by_the_name_this_system_knows(
    known: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def policy(command: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        candidate = "1.2.8-1+b1" if command[-1] == known else "(none)"
        answer = f"{command[-1]}:\n  Installed: (none)\n  Candidate: {candidate}\n"
        if command[-1] != known and command[-1].endswith("t64"):
            answer = ""  # a name that apt never heard of
        return subprocess.CompletedProcess(command, 0, answer, "")

    monkeypatch.setattr(subprocess, "run", policy)

    assert bootstrap.known_package(bootstrap.LIBRARIES["libasound.so.2"]) == known


def test_missing_libraries_are_told_where_they_cannot_be_installed(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bootstrap, "IS_LINUX", True)
    monkeypatch.setattr(bootstrap, "can_load", lambda name: name != "libEGL.so.1")
    monkeypatch.setattr(bootstrap, "can_install_packages", lambda: False)

    bootstrap.bring_libraries(bootstrap.LIBRARIES)

    assert "sudo apt-get install libegl1\n" in capsys.readouterr().out


def test_a_check_that_fails_lets_the_tests_run_and_fails_in_the_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    ran: list[str] = []

    def call(command: list[str], **_: object) -> int:
        ran.append(command[2])
        return 1 if command[2] == "mypy" else 0

    monkeypatch.setattr(bootstrap, "bring_libraries", lambda _: None)
    monkeypatch.setattr(bootstrap, "install", lambda _: None)
    monkeypatch.setattr(subprocess, "call", call)

    assert bootstrap.test([]) == 1
    assert ran == ["ruff", "ruff", "mypy", "pytest"]


class Emitter(QObject):
    """Has a signal to emit."""

    rang = Signal(bool)


@pytest.mark.skipif(sys.version_info >= (3, 12), reason="True never dies there")
def test_this_qt_does_not_lose_references_to_true() -> None:
    # PySide6 6.12.0 takes one from True at each emission on Python 3.11, and the
    # process dies when none is left.
    emitter = Emitter()
    emitter.rang.connect(lambda _: None)
    before = sys.getrefcount(True)

    for _ in range(300):
        emitter.rang.emit(True)

    assert sys.getrefcount(True) > before - 50
