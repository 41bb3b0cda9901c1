"""A tile server on this machine alone, that answers as a test wants it to."""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

from tests.material.pictures import png

GREEN = png(0, 160, 0)


@dataclass(frozen=True)
class Reply:
    """What a server says."""

    body: bytes = GREEN
    status: int = 200
    headers: Mapping[str, str] = field(default_factory=dict)
    size: int | None = None  # that it claims; None: the body's
    is_cut: bool = False  # ends before its end
    is_silent: bool = False  # nothing at all, until the test is over


class TileServer:
    """Listens on 127.0.0.1 until it is closed; keeps what it was asked."""

    def __init__(self) -> None:
        self.answer: Callable[[str], Reply] = lambda path: Reply()
        self.asked: list[tuple[str, dict[str, str]]] = []
        self._over = threading.Event()
        outer = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                outer.asked.append((self.path, dict(self.headers)))
                outer._reply(self, outer.answer(self.path))

            def log_message(self, *_: Any) -> None:
                """Be quiet."""

        self._server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self._server.daemon_threads = True
        self._thread = threading.Thread(
            target=self._server.serve_forever, kwargs={"poll_interval": 0.02}
        )
        self._thread.start()

    @property
    def template(self) -> str:
        """The address pattern of its tiles."""
        return f"http://127.0.0.1:{self._server.server_port}/{{z}}/{{x}}/{{y}}.png"

    def address(self, path: str) -> str:
        """The address of a path."""
        return f"http://127.0.0.1:{self._server.server_port}/{path}"

    def close(self) -> None:
        """Stop listening, and let go of those who wait."""
        self._over.set()
        self._server.shutdown()
        self._server.server_close()
        self._thread.join()

    def _reply(self, handler: BaseHTTPRequestHandler, reply: Reply) -> None:
        # Whoever asked may be gone by now, which is often what a test is about.
        with contextlib.suppress(OSError):
            if reply.is_silent:
                self._over.wait(20.0)
                return
            handler.send_response(reply.status)
            size = len(reply.body) if reply.size is None else reply.size
            handler.send_header("Content-Length", str(size))
            for name, value in reply.headers.items():
                handler.send_header(name, value)
            handler.end_headers()
            handler.wfile.write(reply.body)
            sent = len(reply.body)
            while sent < size and not reply.is_cut and not self._over.is_set():
                handler.wfile.write(b"\0" * 100_000)
                sent += 100_000
