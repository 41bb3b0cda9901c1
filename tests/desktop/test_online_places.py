"""The place search on the network, with a server of our own on this machine."""

from __future__ import annotations

import json
import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import closing
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any
from urllib.parse import parse_qs, urlsplit

import pytest

from fieldtrip.desktop.online_places import MOST_PLACES, OnlinePlace, OnlinePlaces
from fieldtrip.errors import UserError
from fieldtrip.geo import Position

# The shape of an answer: Nominatim manual, "Search", output format jsonv2 and json:
# latitude and longitude are texts.  The place is invented.
COVE = {
    "place_id": 1,
    "lat": "49.6034",
    "lon": "-8.4012",
    "display_name": "Merrow Cove, Outer Isles, Nowhere",
}


class Server:
    """Answers every question in one way, and remembers what it was asked."""

    def __init__(self) -> None:
        self.asked: list[dict[str, Any]] = []
        self.answer: Callable[[BaseHTTPRequestHandler], None] = ok([COVE])
        server = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                query = parse_qs(urlsplit(self.path).query)
                agent = self.headers["User-Agent"]
                server.asked.append({"query": query, "agent": agent, "path": self.path})
                server.answer(self)

            def log_message(self, *_: object) -> None:
                """Say nothing."""

        self.http = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.http.daemon_threads = True
        self.thread = threading.Thread(target=self.http.serve_forever, args=(0.02,))
        self.thread.start()

    @property
    def domain(self) -> str:
        """Where it listens."""
        return f"127.0.0.1:{self.http.server_port}"

    def close(self) -> None:
        """Stop listening."""
        self.http.shutdown()
        self.thread.join()
        self.http.server_close()


def ok(value: object) -> Callable[[BaseHTTPRequestHandler], None]:
    """Answers with JSON."""
    return sent(200, json.dumps(value).encode())


def sent(
    code: int, body: bytes, **headers: str
) -> Callable[[BaseHTTPRequestHandler], None]:
    """Answers with these bytes."""

    def answer(request: BaseHTTPRequestHandler) -> None:
        request.send_response(code)
        for name, value in headers.items():
            request.send_header(name.replace("_", "-"), value)
        request.send_header("Content-Length", str(len(body)))
        request.end_headers()
        try:
            request.wfile.write(body)
        except ConnectionError:
            return  # the other side has read enough

    return answer


@pytest.fixture
def server(monkeypatch: pytest.MonkeyPatch) -> Iterator[Server]:
    for name in ("http_proxy", "HTTP_PROXY", "all_proxy", "ALL_PROXY"):
        monkeypatch.delenv(name, raising=False)
    server = Server()
    yield server
    server.close()


@pytest.fixture
def places(server: Server) -> OnlinePlaces:
    return OnlinePlaces(server.domain, "http", timeout_s=5.0, sleep=lambda _: None)


def test_a_place_is_found_and_the_asker_identified(
    server: Server, places: OnlinePlaces
) -> None:
    found = places.find("  merrow   cove ")

    assert found == (
        OnlinePlace("Merrow Cove, Outer Isles, Nowhere", Position(49.6034, -8.4012)),
    )
    assert found[0].short_name == "Merrow Cove"
    (asked,) = server.asked
    assert asked["query"]["q"] == ["merrow cove"]
    assert asked["query"]["limit"] == [str(MOST_PLACES)]
    assert asked["agent"].startswith("Fieldtrip/")


def test_nothing_found_is_an_answer_too(server: Server, places: OnlinePlaces) -> None:
    server.answer = ok([])

    assert places.find("nowhere at all") == ()


def test_the_same_question_is_asked_once(server: Server, places: OnlinePlaces) -> None:
    places.find("cove")
    places.find("cove ")

    assert len(server.asked) == 1


def test_questions_are_a_second_apart(server: Server) -> None:
    now = [100.0]
    slept: list[float] = []

    def sleep(seconds: float) -> None:
        slept.append(seconds)
        now[0] += seconds

    places = OnlinePlaces(server.domain, "http", clock=lambda: now[0], sleep=sleep)
    places.find("one")
    now[0] += 0.25
    places.find("two")
    now[0] += 3.0
    places.find("three")

    # Source: Nominatim usage policy: "an absolute maximum of 1 request per second".
    assert slept == [0.75]


def test_no_more_is_listed_than_was_asked_for(
    server: Server, places: OnlinePlaces
) -> None:
    server.answer = ok([COVE] * 50)

    assert len(places.find("cove")) == MOST_PLACES


@pytest.mark.parametrize(
    ("answer", "sentence"),
    [
        (sent(403, b"Access blocked"), "refuses to answer"),
        (sent(429, b"", Retry_After="30"), "Try again in 30 seconds"),
        (sent(429, b""), "Try again in some minutes"),
        (sent(500, b"oops"), r"could not answer \(error 500\)"),
        (sent(503, b""), "did not answer in time"),
        (sent(302, b"", Location="http://127.0.0.1:1/"), r"\(error 302\)"),
        (sent(200, b"<html>Sign in</html>"), "no list of places"),
        (sent(200, b""), "no list of places"),
        (sent(200, b"\xff\xfe\x00"), "no list of places"),
        (sent(200, b"[" * 100_000), "no list of places"),
        (sent(200, b" " * 50_000_000), "no list of places"),
        (ok([[1, 2]]), "no list of places"),
        (ok([1]), "no list of places"),
        (ok("text"), "no list of places"),
        (ok(7), "no list of places"),
        (ok([{**COVE, "lat": "999"}]), "no list of places"),
        (ok([{**COVE, "lat": "nan"}]), "no list of places"),
        (ok([{**COVE, "lon": "1e400"}]), "no list of places"),
        (ok([{**COVE, "lat": None}]), "no list of places"),
        (ok([{**COVE, "display_name": 7}]), "no list of places"),
        (ok([{"lat": "1", "lon": "2"}]), "no list of places"),
        (ok({"error": "bad"}), "could not answer"),
    ],
)
def test_what_is_no_answer_is_said_in_a_sentence(
    server: Server,
    places: OnlinePlaces,
    answer: Callable[[BaseHTTPRequestHandler], None],
    sentence: str,
) -> None:
    server.answer = answer

    with pytest.raises(UserError, match=sentence):
        places.find("cove")

    assert len(server.asked) == 1  # and no other host was asked


def test_a_failed_question_can_be_asked_again(
    server: Server, places: OnlinePlaces
) -> None:
    server.answer = sent(500, b"")
    with pytest.raises(UserError):
        places.find("cove")

    server.answer = ok([COVE])

    assert len(places.find("cove")) == 1


def test_a_service_that_keeps_silent_is_given_up(server: Server) -> None:
    silent = threading.Event()

    def keep_silent(_: BaseHTTPRequestHandler) -> None:
        silent.wait(20)

    server.answer = keep_silent
    places = OnlinePlaces(server.domain, "http", timeout_s=0.2)

    with pytest.raises(UserError, match="did not answer in time"):
        places.find("cove")

    silent.set()


def test_a_service_that_breaks_off_is_said(
    server: Server, places: OnlinePlaces
) -> None:
    def half(request: BaseHTTPRequestHandler) -> None:
        request.wfile.write(b"HTTP/1.0 200 OK\r\nContent-Length: 900\r\n\r\n[{")
        request.wfile.flush()
        request.connection.shutdown(socket.SHUT_RDWR)

    server.answer = half

    with pytest.raises(UserError, match=r"no list of places|could not answer"):
        places.find("cove")


def test_without_a_network_the_sentence_says_so() -> None:
    with closing(socket.socket()) as unused:
        unused.bind(("127.0.0.1", 0))
        port = unused.getsockname()[1]
    places = OnlinePlaces(f"127.0.0.1:{port}", "http")

    with pytest.raises(UserError, match="cannot be reached"):
        places.find("cove")


@pytest.mark.parametrize("text", ["", "   ", "x" * 300])
def test_what_is_no_question_is_not_sent(
    server: Server, places: OnlinePlaces, text: str
) -> None:
    with pytest.raises(UserError, match="name of a place"):
        places.find(text)

    assert server.asked == []


@pytest.mark.parametrize("text", ["a&limit=5000", "%00", "☃ é", "../../x", "\ud800"])
def test_hostile_text_stays_within_its_question(
    server: Server, places: OnlinePlaces, text: str
) -> None:
    places.find(text)

    (asked,) = server.asked
    assert asked["path"].startswith("/search?")
    assert asked["query"]["limit"] == [str(MOST_PLACES)]


def test_control_characters_of_an_answer_are_not_shown(
    server: Server, places: OnlinePlaces
) -> None:
    server.answer = ok([{**COVE, "display_name": "A\x00b\u202ec" + "d" * 5_000}])

    (place,) = places.find("cove")

    assert place.name.startswith("A b cd")
    assert len(place.name) == 300
