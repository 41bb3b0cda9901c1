"""Tests for work in the background: the newest counts, and what waited is spared."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from threading import Event

import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.jobs import Jobs


@pytest.fixture
def jobs() -> Iterator[Jobs]:
    jobs = Jobs(workers=1)
    yield jobs
    jobs.stop()


@pytest.mark.usefixtures("qapp")
def test_a_job_that_was_overtaken_while_it_waited_is_never_run(
    jobs: Jobs, qtbot: QtBot
) -> None:
    go = Event()
    ran: list[int] = []
    shown: list[int] = []

    def work(number: int) -> int:
        ran.append(number)
        return number

    jobs.start("in the way", go.wait, done=lambda _: None)
    for number in range(5):
        jobs.start("page", work, number, done=shown.append)
    go.set()

    qtbot.waitUntil(lambda: shown == [4])
    assert ran == [4]


@pytest.mark.usefixtures("qapp")
def test_a_cancelled_job_is_neither_run_nor_shown(jobs: Jobs, qtbot: QtBot) -> None:
    go = Event()
    ran: list[int] = []
    shown: list[None] = []

    jobs.start("in the way", go.wait, done=lambda _: None)
    jobs.start("page", ran.append, 1, done=shown.append)
    jobs.cancel("page")
    jobs.start("after", ran.append, 2, done=shown.append)
    go.set()

    qtbot.waitUntil(lambda: len(shown) == 1)
    assert ran == [2]


@pytest.mark.usefixtures("qapp")
def test_what_is_urgent_does_not_wait_behind_other_work(
    jobs: Jobs, qtbot: QtBot
) -> None:
    go = Event()
    shown: list[str] = []

    jobs.start("in the way", go.wait, done=lambda _: shown.append("other work"))
    jobs.start("checks", str, "checks", done=shown.append, is_urgent=True)

    qtbot.waitUntil(lambda: shown == ["checks"])
    go.set()
    qtbot.waitUntil(lambda: shown == ["checks", "other work"])


@pytest.mark.usefixtures("qapp")
def test_nothing_is_told_of_a_job_that_was_cancelled(jobs: Jobs, qtbot: QtBot) -> None:
    told: list[float] = []
    has_told = Event()
    over: list[bool] = []

    def work(progress: Callable[[float], None]) -> None:
        progress(0.5)  # waits for the UI thread, which is in this test
        has_told.set()

    jobs.start("search", work, done=lambda _: None, progressed=told.append)
    assert has_told.wait(30)
    jobs.cancel("search")
    jobs.start("after", lambda: True, done=over.append)
    qtbot.waitUntil(lambda: over == [True])  # whatever was sent before is delivered

    assert told == []
