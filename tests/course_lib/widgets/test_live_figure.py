"""A live figure never fails silently, and says in text what it shows."""

import ipywidgets as widgets
import pytest

from course_lib.figures.drawing.svg import Figure
from course_lib.widgets.live_figure import CallbackFailed, LiveFigure, status

FIGURE = Figure("title", "<svg/>", "a < b", "spoken")


def live_with(callback):
    slider = widgets.IntSlider()
    live = LiveFigure((slider,))
    live.when_changed(callback, slider)
    return live, slider, live.button("Press", callback)


def fail():
    raise ValueError("no <b>such</b> header")


def test_a_failing_callback_tells_the_reader(monkeypatch):
    monkeypatch.delenv("HOP_BY_HOP_STRICT")
    live, slider, _ = live_with(fail)
    slider.value = 5
    assert "ValueError: no &lt;b&gt;such&lt;/b&gt; header" in live.notice.value
    assert 'role="alert"' in live.notice.value


def test_a_failing_button_tells_the_reader(monkeypatch):
    monkeypatch.delenv("HOP_BY_HOP_STRICT")
    live, _, button = live_with(fail)
    button.click()
    assert "ValueError" in live.notice.value


def test_in_strict_mode_it_is_raised_too():
    live, slider, button = live_with(fail)
    with pytest.raises(CallbackFailed, match="no <b>such</b> header"):
        slider.value = 5
    with pytest.raises(CallbackFailed):
        button.click()
    assert "ValueError" in live.notice.value


def test_the_notice_goes_when_the_next_callback_succeeds(monkeypatch):
    monkeypatch.delenv("HOP_BY_HOP_STRICT")
    outcomes = iter([fail, lambda: None])
    live, slider, _ = live_with(lambda: next(outcomes)())
    slider.value = 5
    slider.value = 6
    assert live.notice.value == ""


def test_a_callback_that_sets_off_a_failing_one_does_not_hide_it(monkeypatch):
    monkeypatch.delenv("HOP_BY_HOP_STRICT")
    inner = widgets.IntSlider()
    live = LiveFigure((inner,))
    live.when_changed(fail, inner)
    live.button("Press", lambda: setattr(inner, "value", 7)).click()
    assert "ValueError" in live.notice.value


def test_drawing_replaces_words_picture_and_text_in_place():
    live = LiveFigure()
    parts = live.box.children
    live.draw(["one & two"], FIGURE, FIGURE)
    assert live.box.children == parts
    assert "one &amp; two" in live.words.value
    assert live.picture.value == "<svg/><svg/>"
    assert "a &lt; b\n\na &lt; b" in live.twin.value


def test_where_nothing_can_be_live_the_picture_and_its_text_remain():
    live = LiveFigure()
    live.draw(["words"], FIGURE)
    bundle = live._repr_mimebundle_()
    assert "application/vnd.jupyter.widget-view+json" in bundle
    assert "<svg/>" in bundle["text/html"]
    assert bundle["text/plain"] == "a < b"


def test_sentences_are_marked_as_status_and_escaped():
    assert 'role="status"' in status(["x"])
    assert "&lt;i&gt;" in status(["<i>"])
