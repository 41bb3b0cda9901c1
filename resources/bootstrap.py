"""Makes what the program needs beside this file, then runs it or its tests.

    python3 resources/bootstrap.py run     opens the demo; arguments after `run`
                                           go to the program in place of --demo
    python3 resources/bootstrap.py test    checks everything; arguments after
                                           `test` go to pytest

Needs Python's own library only.  Whatever it installs from PyPI goes into
`.venv`; on Debian and its relatives, and only as root, it also installs system
libraries that are missing.
"""

from __future__ import annotations

import ctypes
import hashlib
import json
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
STAMP = VENV / "fieldtrip-installed.json"
MOST_WORKERS = 4  # processes in which tests run at once
OLDEST_PYTHON = (3, 11)
IS_WINDOWS = sys.platform == "win32"
IS_LINUX = sys.platform.startswith("linux")
LOCK_S = 120  # how long to wait while another program installs packages

# What Qt loads at run time, and Debian's packages that bring it: the first name
# that the system knows.  Debian 13 and Ubuntu 24.04 renamed some.
LIBRARIES = {
    "libasound.so.2": ["libasound2t64", "libasound2"],
    "libbrotlidec.so.1": ["libbrotli1"],
    "libdbus-1.so.3": ["libdbus-1-3"],
    "libEGL.so.1": ["libegl1"],
    "libfontconfig.so.1": ["libfontconfig1"],
    "libgbm.so.1": ["libgbm1"],
    "libGL.so.1": ["libgl1"],
    "libglib-2.0.so.0": ["libglib2.0-0t64", "libglib2.0-0"],
    "libnss3.so": ["libnss3"],
    "libxcb-dri3.so.0": ["libxcb-dri3-0"],
    "libXcomposite.so.1": ["libxcomposite1"],
    "libXdamage.so.1": ["libxdamage1"],
    "libxkbcommon.so.0": ["libxkbcommon0"],
    "libxkbfile.so.1": ["libxkbfile1"],
    "libXrandr.so.2": ["libxrandr2"],
    "libXtst.so.6": ["libxtst6"],
}
WINDOW_LIBRARIES = {  # in addition, where a window is to be seen under X
    "libxcb-cursor.so.0": ["libxcb-cursor0"],
    "libxcb-icccm.so.4": ["libxcb-icccm4"],
    "libxcb-keysyms.so.1": ["libxcb-keysyms1"],
    "libxcb-shape.so.0": ["libxcb-shape0"],
    "libxcb-xkb.so.1": ["libxcb-xkb1"],
    "libxkbcommon-x11.so.0": ["libxkbcommon-x11-0"],
}
CHECKS = [
    ["ruff", "format", "--check", "."],
    ["ruff", "check", "."],
    ["mypy"],
]


class CannotGoOn(Exception):
    """Its text says what is missing and what to do about it."""


def main(arguments: list[str]) -> int:
    """Do what the first argument says; the exit code says whether it went well."""
    try:
        refuse_old_python(sys.version_info[:2])
        if arguments[:1] == ["run"]:
            return run(arguments[1:])
        if arguments[:1] == ["test"]:
            return test(arguments[1:])
        say((__doc__ or "").rstrip())
        return 2
    except CannotGoOn as error:
        say(str(error))
        return 1
    except KeyboardInterrupt:
        return 130


def run(arguments: list[str]) -> int:
    """Install what is missing and open the program."""
    refuse_no_display(os.environ)
    bring_libraries({**LIBRARIES, **WINDOW_LIBRARIES})
    install("")
    command = [str(python()), "-m", "fieldtrip", *(arguments or ["--demo"])]
    return subprocess.call(command, env=environment(), cwd=Path.cwd())


def test(arguments: list[str]) -> int:
    """Install what is missing, look over the code, and run the tests."""
    bring_libraries(LIBRARIES)
    install("test")
    variables = environment()
    variables["QT_QPA_PLATFORM"] = "offscreen"
    failed = []
    for check in CHECKS:
        say("$ " + " ".join(check))
        if subprocess.call([str(python()), "-m", *check], env=variables, cwd=ROOT):
            failed.append(" ".join(check[:2]))
    # A file stays with one worker; more than a few would only starve web engines.
    workers = str(min(os.cpu_count() or 1, MOST_WORKERS))
    side_by_side = [] if arguments else ["-n", workers, "--dist", "loadfile"]
    tests = [str(python()), "-m", "pytest", *side_by_side, *arguments]
    say("$ pytest " + " ".join([*side_by_side, *arguments]))
    code = subprocess.call(tests, env=variables, cwd=ROOT)
    if failed:
        say("Not clean: " + ", ".join(failed) + ". See above.")
    return code or len(failed)


def refuse_old_python(version: tuple[int, ...]) -> None:
    """Say which Python is needed, rather than fail on its first new word."""
    if version < OLDEST_PYTHON:
        raise CannotGoOn(
            "Fieldtrip needs Python {}.{} or newer; this is {}.{}. Install a newer "
            "one and call it by its name, for example: "
            "python3.11 resources/bootstrap.py run".format(*OLDEST_PYTHON, *version)
        )


def refuse_no_display(variables: os._Environ[str] | dict[str, str]) -> None:
    """Say that there is nothing to show a window on."""
    names = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    if IS_LINUX and not any(variables.get(name) for name in names):
        raise CannotGoOn(
            "There is no display here to open a window on. Run this from a desktop, "
            "or under a virtual one: xvfb-run python3 resources/bootstrap.py run"
        )


def environment() -> dict[str, str]:
    """The variables for Qt: Chromium's sandbox refuses to work for root."""
    variables = dict(os.environ)
    if is_root():
        variables.setdefault("QTWEBENGINE_DISABLE_SANDBOX", "1")
    return variables


def install(extra: str) -> None:
    """Have the package and what it needs in `.venv`; nothing if it is there."""
    wanted: dict[str, object] = {
        "project": project_digest(),
        "python": list(sys.version_info[:3]),
    }
    if is_installed(wanted, extra):
        return
    make_venv()
    what = f".[{extra}]" if extra else "."
    say("Installing into .venv; the first time this brings about 300 MB.")
    quiet = ["--quiet", "--disable-pip-version-check"]
    command = [str(python()), "-m", "pip", "install", *quiet, "--editable", what]
    if subprocess.call(command, cwd=ROOT):
        raise CannotGoOn(
            "The packages could not be installed; the lines above say why. They "
            "come from PyPI, so check the network, then run this again."
        )
    STAMP.write_text(json.dumps({**wanted, "extra": extra}), encoding="utf-8")


def is_installed(wanted: dict[str, object], extra: str) -> bool:
    """Whether `.venv` was made for this very project and Python, and still works."""
    try:
        stamp = json.loads(STAMP.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    fits = all(stamp.get(name) == value for name, value in wanted.items())
    return fits and extra in ("", stamp.get("extra")) and venv_works()


def project_digest() -> str:
    """What the installation depends on: where the project lies and what it asks for."""
    asked = (ROOT / "pyproject.toml").read_bytes()
    return hashlib.sha256(str(ROOT).encode() + b"\0" + asked).hexdigest()


def make_venv() -> None:
    """A working `.venv`, made anew where there is none."""
    if venv_works():
        return
    refuse_no_venv()
    say("Making .venv")
    if subprocess.call([sys.executable, "-m", "venv", "--clear", str(VENV)]):
        raise CannotGoOn("The folder .venv could not be made; see above.")


def venv_works() -> bool:
    """Whether `.venv` has a Python of this version, with pip."""
    if not python().exists():
        return False
    ask = "import sys, pip; print(*sys.version_info[:2])"
    try:
        answer = subprocess.run(
            [str(python()), "-c", ask], capture_output=True, text=True, check=False
        )
    except OSError:
        return False
    return answer.stdout.split() == [str(part) for part in sys.version_info[:2]]


def refuse_no_venv() -> None:
    """Bring the part of Python that Debian keeps in a package of its own, or say so."""
    if has_venv():
        return
    if can_install_packages():
        apt_update()
        apt_install(["python3-venv"])
    if not has_venv():
        raise CannotGoOn(
            "This Python cannot make a virtual environment. On Debian or Ubuntu "
            "install the missing part, then run this again:\n"
            "    sudo apt-get install python3-venv"
        )


def has_venv() -> bool:
    """Whether this Python can make a virtual environment with pip in it."""
    ask = [sys.executable, "-c", "import ensurepip, venv"]
    return subprocess.call(ask, stderr=subprocess.DEVNULL) == 0


def bring_libraries(libraries: dict[str, list[str]]) -> None:
    """Install the system libraries that are missing, or say how."""
    if not IS_LINUX:
        return
    missing = [name for name in libraries if not can_load(name)]
    if not missing:
        return
    if can_install_packages():
        say("Installing system libraries: " + ", ".join(missing))
        apt_update()
        apt_install([known_package(libraries[name]) for name in missing])
        missing = [name for name in missing if not can_load(name)]
    if missing:
        packages = " ".join(libraries[name][-1] for name in missing)
        say(
            "Qt may not start: {} cannot be loaded. On Debian or Ubuntu:\n"
            "    sudo apt-get install {}\n"
            "On another system install the packages that bring these files.".format(
                ", ".join(missing), packages
            )
        )


def can_load(library: str) -> bool:
    """Whether the system finds a shared library."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def can_install_packages() -> bool:
    """Whether this is Debian or a relative, and we are root."""
    return IS_LINUX and is_root() and shutil.which("apt-get") is not None


def known_package(names: list[str]) -> str:
    """The first of some names of a package that this system can install."""
    for name in names:
        policy = subprocess.run(
            ["apt-cache", "policy", name],
            capture_output=True,
            text=True,
            check=False,
            env={**os.environ, "LC_ALL": "C"},
        )
        candidate = policy.stdout.partition("Candidate: ")[2].split("\n")[0]
        if candidate not in ("", "(none)"):
            return name
    return names[-1]


def apt_update() -> None:
    """Fetch the lists of packages, waiting while another program does."""
    until = time.monotonic() + LOCK_S
    while True:
        update = subprocess.run(
            ["apt-get", "update", "-qq", *apt_options()],
            stderr=subprocess.PIPE,
            text=True,
            check=False,
            env={**os.environ, "LC_ALL": "C"},
        )
        # apt-get waits for dpkg's lock by itself, but not for that of the lists.
        if "lists/lock" not in update.stderr or time.monotonic() > until:
            return  # done, or the lists that are there must do
        time.sleep(5)


def apt_install(packages: list[str]) -> None:
    """Install Debian packages; what fails is told later, by what is still missing."""
    command = ["apt-get", "install", "-y", "-qq", "--no-install-recommends"]
    variables = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    subprocess.call([*command, *apt_options(), *packages], env=variables)


def apt_options() -> list[str]:
    """Wait for a neighbour's lock instead of failing at once."""
    return ["-o", f"DPkg::Lock::Timeout={LOCK_S}"]


def python() -> Path:
    """The Python of `.venv`."""
    return VENV / ("Scripts/python.exe" if IS_WINDOWS else "bin/python")


def is_root() -> bool:
    """Whether this is the superuser."""
    return not IS_WINDOWS and os.geteuid() == 0


def say(text: str) -> None:
    """Tell the person at the terminal, before what comes next writes anything."""
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
