"""Asks tile servers for what the map shows: few at a time, and never in advance."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from importlib.metadata import PackageNotFoundError, version
from itertools import count
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, QUrl, Signal
from PySide6.QtNetwork import (
    QNetworkAccessManager,
    QNetworkDiskCache,
    QNetworkReply,
    QNetworkRequest,
)

from fieldtrip.desktop.map.host_rest import HostRest, asked_rest_s
from fieldtrip.desktop.map.tile_answer import (
    LARGEST_BYTES,
    TileAnswer,
    judged,
    not_reached,
    too_large,
    too_late,
    wait_text,
)
from fieldtrip.material.template import server_name

Answered = Callable[[TileAnswer], None]
_CACHE_BYTES = 200_000_000
_AT_ONCE = 4  # to one server
_LOOK_AGAIN_MS = 250
_Attribute = QNetworkRequest.Attribute
_Error = QNetworkReply.NetworkError
_LATE = (_Error.TimeoutError, _Error.ProxyTimeoutError)


@dataclass(slots=True)
class _Wanted:
    address: QUrl
    host: str
    answered: Answered
    reply: QNetworkReply | None = None
    verdict: TileAnswer | None = field(default=None)  # known before the reply ends


class TileFetcher(QObject):
    """Keeps what came as long as the server's headers allow.

    A server that gives trouble is left alone for a while, longer each time; until then
    only what is kept is given out.
    """

    # Host, what is wrong, when it is asked again; once for each row of troubles.
    troubled = Signal(str, str, str)
    rested = Signal(str)  # host that may be asked again
    answered = Signal(str)  # host that gave a picture after trouble

    def __init__(
        self,
        cache_folder: Path,
        parent: QObject | None = None,
        *,
        quiet_s: float = 15.0,
        longest_s: float = 45.0,
        clock_s: Callable[[], float] = time.monotonic,
    ) -> None:
        """Servers may be quiet for `quiet_s`, and take `longest_s` in all."""
        super().__init__(parent)
        self._quiet_s = quiet_s
        self._longest_s = longest_s
        self._rest = HostRest(clock_s)
        self._timers: dict[str, QTimer] = {}  # until a server may be asked again
        self._told: set[str] = set()
        self._keys = count()
        self._wanted: dict[int, _Wanted] = {}  # in the order in which they were asked
        self._network = QNetworkAccessManager(self)
        cache = QNetworkDiskCache(self._network)
        cache.setCacheDirectory(str(cache_folder / "tiles"))
        cache.setMaximumCacheSize(_CACHE_BYTES)
        self._network.setCache(cache)

    def fetch(self, address: str, answered: Answered) -> int:
        """Ask for an address; `answered` is called later, unless it is cancelled."""
        url = QUrl(address)
        key = next(self._keys)
        self._wanted[key] = _Wanted(url, server_name(address), answered)
        QTimer.singleShot(0, self, self._go_on)
        return key

    def cancel(self, key: int) -> None:
        """Ask no more; nothing happens for what was answered or is not known."""
        wanted = self._wanted.pop(key, None)
        if wanted is not None and wanted.reply is not None:
            wanted.reply.abort()  # says that it finished, to which nobody listens now
            self._go_on()

    def close(self) -> None:
        """Cancel everything."""
        for key in list(self._wanted):
            self.cancel(key)

    def _go_on(self) -> None:
        """Start what may be started; give up what waits for a server that rests."""
        for key, wanted in list(self._wanted.items()):
            if wanted.reply is None and key in self._wanted:
                under_way = sum(
                    other.reply is not None and other.host == wanted.host
                    for other in self._wanted.values()
                )
                if self._rest.is_resting(wanted.host) or under_way < self._limit(
                    wanted.host
                ):
                    self._start(key, wanted)

    def _limit(self, host: str) -> int:
        return 1 if self._rest.is_suspect(host) else _AT_ONCE

    def _start(self, key: int, wanted: _Wanted) -> None:
        request = QNetworkRequest(wanted.address)
        request.setHeader(QNetworkRequest.KnownHeaders.UserAgentHeader, user_agent())
        request.setRawHeader(b"Accept", b"image/png,image/jpeg,image/webp")
        request.setTransferTimeout(round(1000.0 * self._quiet_s))
        never = QNetworkRequest.LoadControl.Manual
        for attribute in (
            _Attribute.CookieLoadControlAttribute,
            _Attribute.CookieSaveControlAttribute,
            _Attribute.AuthenticationReuseAttribute,
        ):
            request.setAttribute(attribute, never)
        request.setAttribute(
            _Attribute.RedirectPolicyAttribute,
            QNetworkRequest.RedirectPolicy.SameOriginRedirectPolicy,
        )
        request.setMaximumRedirectsAllowed(3)
        if self._rest.is_resting(wanted.host):
            request.setAttribute(
                _Attribute.CacheLoadControlAttribute,
                QNetworkRequest.CacheLoadControl.AlwaysCache,
            )
        reply = self._network.get(request)
        wanted.reply = reply
        reply.downloadProgress.connect(
            lambda got, whole: self._watch(key, max(got, whole))
        )
        reply.finished.connect(lambda: self._finish(key, reply))
        late = QTimer(reply)
        late.setSingleShot(True)
        late.timeout.connect(lambda: self._end(key, too_late(wanted.host)))
        late.start(round(1000.0 * self._longest_s))

    def _watch(self, key: int, size: int) -> None:
        wanted = self._wanted.get(key)
        if wanted is not None and size > LARGEST_BYTES:
            self._end(key, too_large(wanted.host))

    def _end(self, key: int, verdict: TileAnswer) -> None:
        wanted = self._wanted.get(key)
        if wanted is not None and wanted.reply is not None:
            wanted.verdict = verdict
            wanted.reply.abort()

    def _finish(self, key: int, reply: QNetworkReply) -> None:
        reply.deleteLater()
        wanted = self._wanted.pop(key, None)
        if wanted is None:
            return
        is_kept = bool(reply.attribute(_Attribute.SourceIsFromCacheAttribute))
        answer = wanted.verdict or _judged(wanted.host, reply)
        if answer.trouble and not _is_from_cache_only(reply):
            self._take_trouble(wanted.host, answer.trouble, reply)
        elif not answer.trouble and not is_kept:
            self._take_answer(wanted.host)
        wanted.answered(answer)
        self._go_on()

    def _take_trouble(self, host: str, sentence: str, reply: QNetworkReply) -> None:
        cache = self._network.cache()
        cache.remove(reply.url())
        header = bytes(reply.rawHeader("Retry-After").data()).decode("latin-1")
        rest_s = self._rest.take_trouble(host, asked_rest_s(header, datetime.now(UTC)))
        timer = self._timers.get(host)
        if timer is None:
            timer = self._timers[host] = QTimer(self)
            timer.setSingleShot(True)
            timer.timeout.connect(lambda: self._end_rest(host))
        timer.start(round(1000.0 * rest_s) + 50)
        if host not in self._told:
            self._told.add(host)
            self.troubled.emit(host, sentence, wait_text(rest_s))

    def _take_answer(self, host: str) -> None:
        self._rest.take_answer(host)
        if host in self._told:
            self._told.discard(host)
            self.answered.emit(host)

    def _end_rest(self, host: str) -> None:
        if self._rest.is_resting(host):  # a coarse timer may be early
            self._timers[host].start(_LOOK_AGAIN_MS)
        else:
            self.rested.emit(host)


def _is_from_cache_only(reply: QNetworkReply) -> bool:
    """Whether a server was not asked, because it rests."""
    control = reply.request().attribute(_Attribute.CacheLoadControlAttribute)
    return bool(control == QNetworkRequest.CacheLoadControl.AlwaysCache)


def user_agent() -> str:
    """Who asks: the program by its own name, as servers want to know."""
    try:
        own = version("fieldtrip")
    except PackageNotFoundError:  # run from its source
        own = "0"
    return f"Fieldtrip/{own} (desktop trip planner; tiles as they are looked at)"


def _judged(host: str, reply: QNetworkReply) -> TileAnswer:
    status = reply.attribute(_Attribute.HttpStatusCodeAttribute)
    error = reply.error()
    if error in (
        _Error.TooManyRedirectsError,
        _Error.InsecureRedirectError,
    ):
        return judged(host, 302, b"")
    if not isinstance(status, int):
        if error in (*_LATE, _Error.OperationCanceledError):
            return too_late(host)
        return not_reached(host)
    if status == 200 and error is not _Error.NoError:
        return too_late(host)  # ended before its end
    return judged(host, status, bytes(reply.readAll().data()))
