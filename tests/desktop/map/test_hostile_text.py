"""Whatever a user types is shown as typed, and nothing makes the page act on it."""

from __future__ import annotations

import logging

import pytest
from pytestqt.qtbot import QtBot

from fieldtrip.desktop.map.map_view import MapView
from fieldtrip.desktop.map.tools import Tool
from fieldtrip.geo import Position
from tests.desktop.map.features import HOME, Ask, Words, area, collection, line, point

pytestmark = pytest.mark.web

TEXTS = [
    "<img src=x onerror=\"document.title='hit'\">",
    "${document.title='hit'}",
    "</script><script>document.title='hit'</script>",
    "`+document.title+`",
    "{{ 7 * 7 }}",
    "a\u2028b\u202e \\u003cb\\u003e &lt;b&gt; \"'",
]
EAST, NORTH = Position(49.6, -8.39), Position(49.605, -8.4)


@pytest.mark.parametrize("text", TEXTS)
def test_words_are_shown_as_they_were_typed(
    qtbot: QtBot, view: MapView, ask: Ask, words: Words, text: str
) -> None:
    view.show_layer(
        "outline", collection(area(HOME, EAST, NORTH, kind="land", name=text))
    )
    view.show_layer("places", collection(point(HOME, text, kind="vantage", label=text)))
    view.show_layer(
        "routes", collection(line(HOME, EAST, record_id=text, kind="tidal", note=text))
    )
    view.show_echo(EAST, text)
    view.start_tool(Tool.POINT, text)
    ray = line(HOME, NORTH, kind="ray", stroke="dash", label=text, azimuth_deg=0.0)
    with qtbot.waitSignal(view.painted):
        view.show_layer("sun", collection(ray))

    texts = ask(
        "[...document.querySelectorAll('.words > div')].map(e => e.textContent)"
    )
    assert texts.count(text) == 4
    assert ask("document.querySelector('.echo-word').textContent") == text
    assert ask("document.querySelector('.hint').textContent").startswith(text)
    assert ask("document.querySelectorAll('img, .words *:not(div)').length") == 0
    assert ask("document.title") == "Map"


@pytest.mark.parametrize("text", TEXTS)
def test_a_record_id_comes_back_as_it_was(
    qtbot: QtBot, view: MapView, ask: Ask, text: str
) -> None:
    with qtbot.waitSignal(view.painted):
        view.show_layer("places", collection(point(HOME, text, kind="vantage")))

    with qtbot.waitSignal(view.featureChosen) as chosen:
        ask("document.querySelector('.symbol').click()")

    assert chosen.args == [text]


@pytest.mark.logs_errors
@pytest.mark.parametrize(
    "attempt",
    [
        "(s => { s.textContent = \"document.title='hit'\"; document.body.append(s) })"
        "(document.createElement('script'))",
        "(d => { d.innerHTML = '<img src=x onerror=\"document.title=1\">';"
        " document.body.append(d) })(document.createElement('div'))",
        "(s => { s.src = 'https://example.invalid/x.js'; document.body.append(s) })"
        "(document.createElement('script'))",
        "(f => { f.action = 'https://example.invalid/'; document.body.append(f);"
        " f.submit() })(document.createElement('form'))",
        "fetch('https://example.invalid/').catch(() => 0) && 0",
        "fetch('fieldtrip://map/main.js').catch(() => 0) && 0",
    ],
)
def test_the_policy_refuses_to_run_or_to_fetch(
    qtbot: QtBot,
    view: MapView,
    ask: Ask,
    caplog: pytest.LogCaptureFixture,
    attempt: str,
) -> None:
    caplog.set_level(logging.WARNING)

    ask(attempt)

    qtbot.waitUntil(lambda: "Content Security Policy" in caplog.text)
    assert ask("document.title") == "Map"


def test_text_cannot_be_evaluated(view: MapView, ask: Ask) -> None:
    evaluated = "(() => { try { return eval('1') } catch (e) { return e.name } })()"

    assert ask(evaluated) == "EvalError"


@pytest.mark.logs_errors
@pytest.mark.parametrize(
    "attempt",
    [
        "location.href = 'https://example.invalid/'",
        "location.href = 'file:///etc/hostname'",
        "location.href = 'data:text/html,hit'",
        "location.href = 'fieldtrip://map/main.js'",
    ],
)
def test_the_page_cannot_be_left(
    qtbot: QtBot,
    view: MapView,
    ask: Ask,
    caplog: pytest.LogCaptureFixture,
    attempt: str,
) -> None:
    caplog.set_level(logging.WARNING)

    ask(attempt)

    qtbot.wait(200)
    assert view.url().toString() == "fieldtrip://map/index.html"
    assert ask("document.title") == "Map"
    assert caplog.text


@pytest.mark.logs_errors
def test_no_window_is_opened(view: MapView, ask: Ask) -> None:
    assert ask("window.open('fieldtrip://map/index.html') === null")


@pytest.mark.logs_errors
@pytest.mark.parametrize("path", ["none.js", "..%2f..%2fetc/hostname", "lib/../x", ""])
def test_only_listed_files_are_given_out(
    qtbot: QtBot,
    view: MapView,
    ask: Ask,
    caplog: pytest.LogCaptureFixture,
    path: str,
) -> None:
    address = f"fieldtrip://map/{path}"

    ask(
        f"(s => {{ s.src = '{address}'; document.body.append(s) }})"
        "(document.createElement('script'))"
    )

    qtbot.waitUntil(lambda: "not there" in caplog.text)
