"""How tile servers are asked, and of their troubles; all on this machine."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from email.utils import format_datetime
from functools import partial
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.map.tile_answer import LARGEST_BYTES, TileAnswer
from fieldtrip.desktop.map.tile_fetcher import TileFetcher
from tests.desktop.map.tile_server import GREEN, Reply, TileServer

HTML = Reply(
    b"<!doctype html><title>Sign in</title>", 200, {"Content-Type": "image/png"}
)


class Clock:
    """Seconds that pass only when a test says so."""

    def __init__(self) -> None:
        self.now_s = 1000.0

    def __call__(self) -> float:
        """Tell them."""
        return self.now_s


@pytest.fixture
def server() -> Iterator[TileServer]:
    server = TileServer()
    yield server
    server.close()


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def fetcher(qtbot: QtBot, tmp_path: Path, clock: Clock) -> Iterator[TileFetcher]:
    fetcher = TileFetcher(tmp_path, quiet_s=0.6, longest_s=1.5, clock_s=clock)
    yield fetcher
    fetcher.close()


class Asking:
    """Fetches and waits."""

    def __init__(self, qtbot: QtBot, fetcher: TileFetcher, server: TileServer) -> None:
        self.qtbot, self.fetcher, self.server = qtbot, fetcher, server
        self.troubles: list[str] = []
        fetcher.troubled.connect(
            lambda host, sentence, wait: self.troubles.append(f"{sentence} {wait}")
        )

    def all(self, *paths: str) -> list[TileAnswer]:
        """What comes of each path."""
        answers: dict[str, TileAnswer] = {}
        for path in paths:
            keep = partial(answers.__setitem__, path)
            self.fetcher.fetch(self.server.address(path), keep)
        self.qtbot.waitUntil(lambda: len(answers) == len(paths))
        return [answers[path] for path in paths]

    def one(self, path: str) -> TileAnswer:
        """What comes of a path."""
        (answer,) = self.all(path)
        return answer


@pytest.fixture
def asking(qtbot: QtBot, fetcher: TileFetcher, server: TileServer) -> Asking:
    return Asking(qtbot, fetcher, server)


def test_a_tile_comes_and_the_server_knows_who_asked(
    asking: Asking, server: TileServer
) -> None:
    assert asking.one("11/327/791.png").picture == GREEN

    ((path, headers),) = server.asked
    assert path == "/11/327/791.png"
    assert headers["User-Agent"].startswith("Fieldtrip/")
    assert "Cookie" not in headers
    assert "Referer" not in headers


def test_what_the_server_lets_be_kept_is_not_asked_again(
    asking: Asking, server: TileServer
) -> None:
    server.answer = lambda path: Reply(headers={"Cache-Control": "max-age=3600"})

    first, second = asking.one("1/0/0"), asking.one("1/0/0")

    assert first.picture == second.picture == GREEN
    assert len(server.asked) == 1


@pytest.mark.parametrize("value", ["no-store", "no-cache"])
def test_what_may_not_be_kept_is_asked_again(
    asking: Asking, server: TileServer, value: str
) -> None:
    server.answer = lambda path: Reply(headers={"Cache-Control": value})

    asking.one("1/0/0")
    asking.one("1/0/0")

    assert len(server.asked) == 2


@pytest.mark.slow
def test_what_was_kept_for_its_time_is_asked_after(
    qtbot: QtBot, asking: Asking, server: TileServer
) -> None:
    headers = {"Cache-Control": "max-age=1", "ETag": '"a"'}
    server.answer = lambda path: Reply(headers=headers)
    asking.one("1/0/0")
    server.answer = lambda path: Reply(b"", 304, headers)
    qtbot.wait(2_200)

    assert asking.one("1/0/0").picture == GREEN

    assert server.asked[1][1]["If-None-Match"] == '"a"'


def test_cookies_are_neither_kept_nor_sent(asking: Asking, server: TileServer) -> None:
    server.answer = lambda path: Reply(headers={"Set-Cookie": "who=you; Path=/"})

    asking.one("1/0/0")
    asking.one("1/0/1")

    assert all("Cookie" not in headers for _, headers in server.asked)


@pytest.mark.parametrize("status", [204, 404, 410])
def test_a_tile_that_is_not_there_is_no_trouble(
    asking: Asking, server: TileServer, status: int
) -> None:
    server.answer = lambda path: Reply(b"", status)

    assert asking.one("1/0/0") == TileAnswer()
    assert asking.troubles == []


@pytest.mark.parametrize(
    ("reply", "words"),
    [
        (HTML, "no picture"),
        (Reply(b""), "no picture"),
        (Reply(b"\x1f\x8b vector"), "no picture"),
        (Reply(b"no", 401), "401"),
        (Reply(b"no", 403), "refuses its tiles (403)"),
        (Reply(b"wait", 429), "left alone for a while (429)"),
        (Reply(b"oops", 500), "fault of its own (500)"),
        (Reply(b"", 302, {"Location": "http://127.0.0.1:9/x.png"}), "another place"),
        (Reply(b"", 302, {"Location": "file:///etc/hostname"}), "another place"),
        (Reply(is_silent=True), "does not answer"),
        (Reply(GREEN[:100], size=5_000, is_cut=True), "does not answer"),
        (Reply(GREEN, size=50_000_000), "more than a tile can hold"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_trouble_is_told_once_in_one_sentence(
    asking: Asking, server: TileServer, reply: Reply, words: str
) -> None:
    server.answer = lambda path: reply

    answers = asking.all(*(f"9/{k}/0" for k in range(12)))

    assert all(answer.trouble and not answer.picture for answer in answers)
    (sentence,) = asking.troubles
    assert sentence.startswith("127.0.0.1 ")
    assert words in sentence
    assert "asked again in" in sentence


def test_a_server_that_is_not_there_is_told(
    qtbot: QtBot, fetcher: TileFetcher, server: TileServer
) -> None:
    address = server.address("1/0/0")
    asking = Asking(qtbot, fetcher, server)
    server.close()

    answers: list[TileAnswer] = []
    fetcher.fetch(address, answers.append)
    qtbot.waitUntil(lambda: bool(answers))

    assert "cannot be reached" in answers[0].trouble
    assert len(asking.troubles) == 1


def test_a_large_answer_is_ended_early(asking: Asking, server: TileServer) -> None:
    server.answer = lambda path: Reply(b"\0" * 1000, size=50_000_000)

    answer = asking.one("1/0/0")

    assert "more than a tile" in answer.trouble
    assert LARGEST_BYTES < 50_000_000


def test_a_server_in_trouble_is_left_alone(
    asking: Asking, server: TileServer, clock: Clock
) -> None:
    server.answer = lambda path: Reply(b"no", 403)
    asking.all(*(f"9/{k}/0" for k in range(40)))
    first = len(server.asked)

    asking.all(*(f"8/{k}/0" for k in range(40)))
    resting = len(server.asked)
    clock.now_s += 6.0
    asking.all(*(f"7/{k}/0" for k in range(40)))

    assert first <= 4  # what was under way at once
    assert resting == first
    assert len(server.asked) == first + 1  # one that tries
    assert len(asking.troubles) == 1


def test_what_is_kept_is_given_out_while_a_server_rests(
    asking: Asking, server: TileServer
) -> None:
    server.answer = lambda path: Reply(headers={"Cache-Control": "max-age=3600"})
    asking.one("1/0/0")
    server.answer = lambda path: Reply(b"no", 429)
    asking.one("1/0/1")
    before = len(server.asked)

    kept, other = asking.all("1/0/0", "1/1/0")

    assert kept.picture == GREEN
    assert other.trouble
    assert len(server.asked) == before


@pytest.mark.parametrize("is_date", [True, False])
def test_a_rest_lasts_as_long_as_the_server_asks(
    asking: Asking, server: TileServer, clock: Clock, is_date: bool
) -> None:
    later = datetime.now(UTC) + timedelta(seconds=1801)
    value = format_datetime(later, usegmt=True) if is_date else "1800"
    server.answer = lambda path: Reply(b"", 429, {"Retry-After": value})
    asking.one("1/0/0")

    clock.now_s += 1790.0
    asking.one("1/0/1")
    assert len(server.asked) == 1
    assert "30 minutes" in asking.troubles[0]
    clock.now_s += 15.0
    asking.one("1/1/1")
    assert len(server.asked) == 2


def test_a_good_answer_ends_the_trouble(
    qtbot: QtBot, asking: Asking, server: TileServer, clock: Clock
) -> None:
    server.answer = lambda path: HTML
    asking.one("1/0/0")
    server.answer = lambda path: Reply()
    clock.now_s += 6.0

    with qtbot.waitSignal(asking.fetcher.answered) as heard:
        assert asking.one("1/0/0").picture == GREEN

    assert heard.args == ["127.0.0.1"]
    server.answer = lambda path: HTML
    asking.one("1/0/1")
    assert len(asking.troubles) == 2  # a new row of troubles is told again


def test_few_are_under_way_at_once(
    qtbot: QtBot, fetcher: TileFetcher, server: TileServer
) -> None:
    now, most = 0, 0
    lock = threading.Lock()

    def slow(path: str) -> Reply:
        nonlocal now, most
        with lock:
            now += 1
            most = max(most, now)
        threading.Event().wait(0.03)
        with lock:
            now -= 1
        return Reply()

    server.answer = slow
    answers: list[TileAnswer] = []
    for k in range(16):
        fetcher.fetch(server.address(f"4/{k}/0"), answers.append)

    qtbot.waitUntil(lambda: len(answers) == 16)
    assert 1 < most <= 4


def test_what_is_no_longer_looked_at_is_not_asked_for(
    qtbot: QtBot, fetcher: TileFetcher, server: TileServer
) -> None:
    answers: list[TileAnswer] = []
    keys = [
        fetcher.fetch(server.address(f"4/{k}/0"), answers.append) for k in range(10)
    ]

    for key in keys[1:]:
        fetcher.cancel(key)
    qtbot.waitUntil(lambda: bool(answers))
    qtbot.wait(100)

    assert [path for path, _ in server.asked] == ["/4/0/0"]
    assert len(answers) == 1


def test_a_request_can_be_cancelled_while_it_is_under_way(
    qtbot: QtBot, fetcher: TileFetcher, server: TileServer
) -> None:
    server.answer = lambda path: Reply(is_silent=True)
    answers: list[TileAnswer] = []
    key = fetcher.fetch(server.address("1/0/0"), answers.append)
    qtbot.waitUntil(lambda: bool(server.asked))

    fetcher.cancel(key)
    fetcher.cancel(key)
    qtbot.wait(100)

    assert answers == []
