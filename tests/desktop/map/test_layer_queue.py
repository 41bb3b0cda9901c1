"""Which updates of a layer are sent to the page."""

from __future__ import annotations

import pytest

from fieldtrip.desktop.map.layer_queue import LayerQueue

Sent = list[tuple[str, str, int]]


@pytest.fixture
def sent() -> Sent:
    return []


@pytest.fixture
def queue(sent: Sent) -> LayerQueue:
    return LayerQueue(lambda *update: sent.append(update))


def test_nothing_is_sent_before_the_page_is_there(
    queue: LayerQueue, sent: Sent
) -> None:
    queue.show("sun", "old")
    queue.show("sun", "new")
    assert sent == []

    queue.open()

    assert sent == [("sun", "new", 1)]


def test_what_was_overtaken_is_never_sent(queue: LayerQueue, sent: Sent) -> None:
    queue.open()
    for text in ("a", "b", "c", "d"):
        queue.show("sun", text)
    assert [text for _, text, _ in sent] == ["a"]

    assert queue.settle("sun", 1)

    assert [text for _, text, _ in sent] == ["a", "d"]


def test_layers_do_not_wait_for_one_another(queue: LayerQueue, sent: Sent) -> None:
    queue.open()

    queue.show("sun", "s")
    queue.show("moon", "m")

    assert [name for name, _, _ in sent] == ["sun", "moon"]


def test_a_late_word_of_an_older_page_counts_for_nothing(
    queue: LayerQueue, sent: Sent
) -> None:
    queue.open()
    queue.show("sun", "a")
    queue.close()
    queue.open()

    assert not queue.settle("sun", 1)

    assert sent[-1] == ("sun", "a", 2)
    assert queue.settle("sun", 2)


def test_a_hidden_layer_is_not_sent_again(queue: LayerQueue, sent: Sent) -> None:
    queue.open()
    queue.show("sun", "a")
    queue.show("sun", "b")

    queue.hide("sun")
    queue.settle("sun", 1)
    queue.open()

    assert len(sent) == 1
