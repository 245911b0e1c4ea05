"""The strip of a stream: every frame has its shape, and words and numbers agree with it."""

import re

import pytest

from course_lib.figures.live.play_out_strip import MOST_FRAMES, play_out_strip
from course_lib.network.probes import StreamReport
from pages.words_in_figures import SIZE, boxes, covered

MIXED = StreamReport(120, {n: 0.02 + 0.001 * (n % 50) for n in range(1, 121) if n % 7})


def test_every_frame_has_the_shape_and_the_word_of_its_fate():
    strip = play_out_strip(StreamReport(4, {1: 0.02, 3: 0.06, 2: 0.095}), 0.02, 0.05)
    told = re.findall(r"<title>frame (\d+): ([a-z ]+)</title>", strip.svg)
    assert told == [("1", "in time"), ("2", "late"), ("3", "in time"), ("4", "lost")]
    assert [line.split()[-1] for line in strip.text.splitlines()[3:]] == [
        "time", "late", "time", "lost",
    ]  # fmt: skip


def test_the_counts_of_picture_and_text_agree():
    strip = play_out_strip(MIXED, 0.02, 0.03)
    fates = re.findall(r"<title>frame \d+: ([a-z ]+)</title>", strip.svg)
    counted = [fates.count(fate) for fate in ("in time", "late", "lost")]
    assert strip.title == (
        "{} of 120 frames in time, {} late, {} lost: 30 ms of buffer".format(*counted)
    )
    assert counted[2] == 17
    assert min(counted) > 0


def test_of_a_long_stream_the_beginning_is_drawn_and_that_is_said():
    strip = play_out_strip(StreamReport(MOST_FRAMES + 5, {}), 0.02, 0.03)
    assert strip.svg.count("<title>frame ") == MOST_FRAMES
    assert "1,005 lost" in strip.title
    assert "the first 1,000 are drawn" in strip.text


@pytest.mark.parametrize(
    ("report", "interval_s", "buffer_s", "word"),
    [
        (StreamReport(0, {}), 0.02, 0.0, "no frame"),
        (MIXED, 0.0, 0.0, "interval_s"),
        (MIXED, 0.02, -0.1, "buffer_s"),
    ],
)
def test_what_cannot_be_drawn_is_refused_in_words(report, interval_s, buffer_s, word):
    with pytest.raises(ValueError, match=word):
        play_out_strip(report, interval_s, buffer_s)


def test_no_words_leave_the_picture_or_cover_each_other(page):
    for report in (MIXED, StreamReport(MOST_FRAMES + 5, {}), StreamReport(1, {1: 0.02})):
        strip = play_out_strip(report, 0.02, 0.03, name="a call from Reed Pier to Lantern Pier")
        found = boxes(page, strip)
        width, height = page.evaluate(SIZE)
        assert found
        assert all(one["x"] >= 0 and one["right"] <= width for one in found)
        assert all(one["y"] >= 0 and one["bottom"] <= height for one in found)
        assert not covered(found)
