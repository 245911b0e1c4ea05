"""The picture of a timeline shows what its value change dump says, and says what it leaves out."""

import io
import itertools
import re
import xml.etree.ElementTree as ET
from collections import defaultdict

import pytest
from hypothesis import given
from hypothesis import strategies as st
from vcd.reader import TokenKind, tokenize

from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
from course_lib.figures.tracing.timeline_diagram import timeline_diagram
from course_lib.forwarding.queue import Queue
from course_lib.prefixes.prefix import parse_prefix
from course_lib.tracing.timeline import Timeline
from course_lib.tracing.watched_router import WatchedRouter
from pages.drawn_shapes import SVG, is_told, looks, shapes, tips, words

PLOVER_NET = parse_prefix("203.0.113.0/28")
TIP = re.compile(r"(?:packet (\d+) in )?(.+?)(?: ([\d,]+))? from ([\d,]+) µs to ([\d,]+) µs")


def number(text):
    return int(text.replace(",", ""))


def watched(*moments_s, queue=None):
    """North Pier after a plain packet at each of these moments."""
    router = north_pier()
    router.stages[4] = queue or router.stages[4]
    seen = WatchedRouter(router, Timeline())
    for now_s in moments_s:
        seen.receive(now_s, *ARRIVALS["plain"])
    return seen


def drawn(figure):
    """All spans that the drawing tells when pointed at: signal, value, first step, last step."""
    found = [TIP.fullmatch(tip).groups() for tip in tips(figure)]
    return {
        (signal, number(packet or level), number(start), number(stop))
        for packet, signal, level, start, stop in found
    }


def read(vcd, stop):
    """The same from a value change dump, by a general-purpose reader (pyvcd).

    A level that has one value from beginning to end is left out: it is told in words.
    """
    names, changes, now = {}, defaultdict(list), 0
    for token in tokenize(io.BytesIO(vcd.encode())):
        match token.kind:
            case TokenKind.VAR:
                names[token.data.id_code] = token.data.reference
            case TokenKind.CHANGE_TIME:
                now = token.data
            case TokenKind.CHANGE_VECTOR:
                changes[names[token.data.id_code]].append((now, token.data.value))
    return {span for signal, each in changes.items() for span in spans_of(signal, each[1:], stop)}


def spans_of(signal, changes, stop):
    """Leave out the first change, with which a dump says that nothing is known yet.

    Of several changes in one step only the last can be seen.
    """
    last = dict(changes)
    runs = [next(run) for _, run in itertools.groupby(last.items(), key=lambda pair: pair[1])]
    pairs = itertools.pairwise([*runs, (stop, None)])
    spans = {(signal, v, one, two) for (one, v), (two, _) in pairs if v != "z" and one < two}
    is_place = any(value == "z" for _, value in changes)
    return spans if is_place or len(spans) > 1 else set()


def in_one_word(spans):
    return {(signal.replace(" ", "_"), *rest) for signal, *rest in spans}


def test_the_drawing_says_what_the_value_change_dump_says():
    router = watched(0.0, 0.000_003, 0.000_02)
    router.receive(0.000_03, *ARRIVALS["time to live 1"])
    router.withdraw_route(PLOVER_NET, now_s=0.000_04)
    timeline = router.timeline
    figure = timeline_diagram(timeline)
    expected = read(timeline.to_vcd(), timeline.last_step + 1)
    assert in_one_word(drawn(figure)) == expected
    assert {"receive", "send", "sent", "dropped", "routes"} <= {signal for signal, *_ in expected}


def test_depths_of_queues_are_levels_with_their_values():
    router = watched(0.0, 0.0, 0.0, queue=Queue({"to Reed Pier": 1e6}))
    router.tick(router.next_tick_s())
    spans = drawn(timeline_diagram(router.timeline))
    depths = sorted(
        (start, value) for signal, value, start, _ in spans if signal.startswith("queue ")
    )
    assert [value for _, value in depths] == [0, 1, 2, 1]


def test_a_run_that_is_a_little_too_long_is_drawn_whole_with_narrower_steps():
    router = WatchedRouter(north_pier(), Timeline())
    for arrival in ARRIVALS.values():
        router.receive(0.0, *arrival)
    figure = timeline_diagram(router.timeline)
    assert ": 9 packets in 6 stages" in figure.title
    assert "start_s" not in figure.text
    assert {value for signal, value, *_ in drawn(figure) if signal == "receive"} == set(
        range(1, 10)
    )


def test_the_alternative_text_says_which_packets_are_seen_in_which_stages():
    router = WatchedRouter(north_pier(), Timeline())
    for arrival in ARRIVALS.values():
        router.receive(0.0, *arrival)
    figure = timeline_diagram(router.timeline)
    seen = defaultdict(set)
    for signal, value, *_ in drawn(figure):
        seen[value].add(signal)
    for packets, stages in re.findall(
        r"Packets? ([\d, and to]+?) (?:is|are) seen in ([^.]+)\.", figure.alternative_text
    ):
        numbers = [int(one) for one in re.findall(r"\d+", packets)]
        if " to " in packets:
            numbers = list(range(numbers[0], numbers[1] + 1))
        told = set(re.findall(r"receive|validate|decide|rewrite|queue|send", stages))
        for one in numbers:
            places = seen.pop(one) & {"receive", "validate", "decide", "rewrite", "queue", "send"}
            assert places == told
    assert not set(seen) & set(range(1, 10))


def test_no_words_of_a_figure_are_names_of_variables():
    router = watched(0.0, 0.0, queue=Queue({"to Reed Pier": 1e6}))
    assert not [one for one in words(timeline_diagram(router.timeline)) if "_" in one]


def test_idle_time_is_cut_out_and_its_length_is_told():
    figure = timeline_diagram(watched(0.0, 0.001).timeline)
    assert "994 µs" in words(figure)
    assert "Between dashed lines idle time is cut out" in figure.alternative_text
    assert len(shapes(figure, "path", "gap")) == 1


def test_the_axis_is_true_to_scale_where_nothing_is_cut_out():
    figure = timeline_diagram(watched(0.0, 0.000_006).timeline)
    places = {
        number(TIP.fullmatch(tip)[4]): float(group.find(f"{SVG}rect").get("x"))
        for tip, group in zip(tips(figure), shapes(figure, "g"), strict=True)
        if tip.startswith("packet")
    }
    widths = {round(places[step + 1] - places[step], 6) for step in range(11)}
    assert len(widths) == 1


def test_a_long_run_is_a_window_that_says_how_much_it_shows():
    timeline = watched(*(n / 1000 for n in range(50))).timeline
    figure = timeline_diagram(timeline)
    shown = {value for signal, value, *_ in drawn(figure) if signal == "receive"}
    assert shown == set(range(1, len(shown) + 1))
    assert f"{len(shown)} of 50 packets" in figure.title
    assert f"of {len(timeline.changes):,} changes; the last one is at 49,006 µs" in figure.text
    assert float(ET.fromstring(figure.svg).get("width")) == 800


def test_another_window_shows_other_packets():
    timeline = watched(*(n / 1000 for n in range(50))).timeline
    late = timeline_diagram(timeline, start_s=0.048)
    assert {value for signal, value, *_ in drawn(late) if signal == "send"} == {49, 50}
    one = timeline_diagram(timeline, start_s=0.010, stop_s=0.011)
    assert {value for signal, value, *_ in drawn(one) if signal == "send"} == {11}
    assert one.title == "From 10,000 µs to 11,000 µs: 1 of 50 packets in 6 stages"


@pytest.mark.parametrize(("start_s", "stop_s"), [(0.002, 0.001), (0.0, 0.0), (-1.0, None)])
def test_a_window_that_ends_before_it_begins_is_refused(start_s, stop_s):
    with pytest.raises(ValueError, match="must end behind its beginning"):
        timeline_diagram(watched(0.0).timeline, start_s=start_s, stop_s=stop_s)


def test_signals_that_do_not_change_are_told_in_words():
    figure = timeline_diagram(watched(0.0).timeline)
    assert "Unchanged here: " in figure.text
    assert "routes 7, table changes 0, dropped 0." in figure.text.replace("\n", " ")


def test_one_packet_can_be_pointed_at():
    figure = timeline_diagram(watched(0.0, 0.00001).timeline, packet=2)
    groups = zip(tips(figure), shapes(figure, "g"), strict=True)
    pointed = [tip for tip, group in groups if "chosen" in looks(group)]
    assert len(pointed) == 6
    assert all(tip.startswith("packet 2 in ") for tip in pointed)


def test_the_axis_and_every_time_have_a_unit():
    figure = timeline_diagram(watched(0.0).timeline)
    assert "time (µs)" in words(figure)
    assert "packet 1 from 0 µs to 1 µs" in figure.text


@pytest.mark.parametrize(
    ("step_s", "words"), [(1.0, "3 s"), (1e-4, "300 µs"), (1e-2, "30 ms"), (1e-9, "3 ns")]
)
def test_the_step_of_the_timeline_is_the_scale(step_s, words):
    timeline = Timeline(step_s)
    timeline.record(3 * step_s, "receive", 1)
    timeline.record(4 * step_s, "receive", None)
    assert f"packet 1 from {words} to" in timeline_diagram(timeline).text


def test_an_empty_timeline_says_so():
    assert "Nothing was recorded." in timeline_diagram(Timeline()).text


SIGNALS = st.sampled_from(["receive", "a <b>", "depth", "send"])
VALUES = st.none() | st.integers(0, 5)


def recorded(records):
    timeline = Timeline(1e-6)
    for step, signal, value in records:
        timeline.record(step * 1e-6, signal, value)
    return timeline


@given(st.lists(st.tuples(st.integers(0, 30), SIGNALS, VALUES), max_size=40))
def test_whatever_is_recorded_drawing_and_dump_agree(records):
    timeline = recorded(records)
    expected = read(timeline.to_vcd(), timeline.last_step + 1)
    assert in_one_word(drawn(timeline_diagram(timeline))) == expected


@given(st.lists(st.tuples(st.integers(0, 9000), SIGNALS, VALUES), max_size=60))
def test_any_timeline_makes_a_well_formed_image_inside_its_frame(records):
    figure = timeline_diagram(recorded(records))
    rects = shapes(figure, "rect", "box")
    assert is_told(figure)
    assert all(float(one.get("x")) >= 160 for one in rects)
    assert all(float(one.get("x")) + float(one.get("width")) <= 776.001 for one in rects)
