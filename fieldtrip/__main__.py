"""Starts the program: its window, or one of its commands."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from fieldtrip import commands


def main(arguments: Sequence[str] | None = None) -> int:
    """Open the window, or run a command; gives the exit status."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    if given and given[0] in commands.NAMES:
        return commands.main(given, _print_page)
    options = _parser().parse_args(given)
    if options.demo_library is not None:
        return commands.main(["demo-library", str(options.demo_library)])

    # Not before now: commands must work where there is no screen and no Qt.
    from fieldtrip.desktop.application import run

    return run(options.library, demo=options.demo)


def _print_page(page: bytes, paper: str) -> bytes:
    """A page as PDF; Qt is loaded only for this."""
    from fieldtrip.desktop.sheet_printing import Paper, pdf_without_window

    return pdf_without_window(page, Paper(paper))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="fieldtrip",
        description="Plan a photographer's days on a coast.",
        epilog="Commands without a window: fieldtrip compute sky --help, "
        "fieldtrip check --help, fieldtrip import --help, fieldtrip export --help, "
        "fieldtrip sheet --help.",
        allow_abbrev=False,
    )
    choice = parser.add_mutually_exclusive_group()
    choice.add_argument(
        "--library", type=Path, metavar="PATH", help="open or make this library"
    )
    choice.add_argument(
        "--demo", action="store_true", help="open a fresh copy of the demo"
    )
    choice.add_argument(
        "--demo-library", type=Path, metavar="PATH", help="write the demo to a file"
    )
    return parser


if __name__ == "__main__":
    sys.exit(main())
