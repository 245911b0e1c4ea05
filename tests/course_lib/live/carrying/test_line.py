"""One direction of a line, without a socket: laws for all arrivals, and cases done by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.live.carrying.line import Line, LineRules
from course_lib.live.carrying.line_settings import LineSettings, OwnSource
from course_lib.queueing import (
    Buffer,
    controlled_delay,
    deficit_round_robin,
    own_policy,
    random_early,
    simulate,
    strict_priority,
    trace,
)

RATE = 8000.0  # an octet takes a millisecond

SETTINGS = st.builds(
    LineSettings,
    rate_bits_per_s=st.sampled_from([None, RATE, 64_000.0]),
    delay_s=st.sampled_from([0.0, 0.25]),
    queue_packets=st.sampled_from([None, 1, 3]),
    loss_period=st.sampled_from([None, 1, 4]),
)
ARRIVALS = st.lists(
    st.tuples(st.floats(0, 0.2), st.integers(14, 300)), min_size=1, max_size=40
)  # time since the one before, octets


def frames_of(arrivals):
    """Return arrivals at their times, each frame with its number in its first octets."""
    at_s, found = 0.0, []
    for number, (gap_s, octets) in enumerate(arrivals):
        at_s += gap_s
        found.append((at_s, number.to_bytes(2, "big") + bytes(octets - 2)))
    return found


def number_of(frame):
    return int.from_bytes(frame[:2], "big")


def sent_by(line, arrivals, looks_s=()):
    """Offer all frames, looking in between at some times as well; return what came out."""
    came = []
    looks = sorted(looks_s)
    for at_s, frame in frames_of(arrivals):
        while looks and looks[0] <= at_s:
            came += line.due(looks.pop(0))
        line.offer(at_s, frame)
    return came + line.due(1e6)


@given(SETTINGS, ARRIVALS)
def test_the_books_are_balanced_at_any_moment(settings, arrivals):
    line = Line(settings)
    for at_s, frame in frames_of(arrivals):
        line.offer(at_s, frame)
        line.due(at_s - 0.05)
        parts = line.sent, line.dropped, line.lost, line.waiting, line.under_way
        assert line.offered == sum(parts)
    line.due(1e6)
    assert line.offered == line.sent + line.dropped + line.lost


@given(SETTINGS, ARRIVALS, st.lists(st.floats(0, 8), max_size=20))
def test_it_makes_no_difference_when_somebody_looks(settings, arrivals, looks_s):
    assert sent_by(Line(settings), arrivals, looks_s) == sent_by(Line(settings), arrivals)


@given(SETTINGS, ARRIVALS)
def test_nobody_overtakes_and_nobody_is_early(settings, arrivals):
    out = sent_by(Line(settings), arrivals)
    came = {number: at_s for number, (at_s, _) in enumerate(frames_of(arrivals))}
    assert [number_of(each.frame) for each in out] == sorted(number_of(e.frame) for e in out)
    for at_s, frame in out:
        alone_s = 0.0 if settings.rate_bits_per_s is None else len(frame) * 8 / settings[0]
        assert at_s >= came[number_of(frame)] + alone_s + settings.delay_s - 1e-9


@given(ARRIVALS, st.sampled_from([1, 2, 5, 1000]))
def test_a_queue_does_what_the_loop_of_unit_08_does(arrivals, room):
    frames = frames_of(arrivals)
    packets = trace([at_s for at_s, _ in frames], octets=[len(frame) for _, frame in frames])
    run = simulate(packets, RATE, buffer=Buffer(packets=room), compiled=False)
    wanted = [
        (pytest.approx(left_s), number)
        for number, (fate, left_s) in enumerate(zip(run.fate, run.left_s, strict=True))
        if fate == 0
    ]
    out = sent_by(Line(LineSettings(RATE, queue_packets=room)), arrivals)
    assert [(at_s, number_of(frame)) for at_s, frame in out] == wanted


@pytest.mark.parametrize(
    "drop",
    [
        pytest.param(controlled_delay(target_s=0.05, interval_s=0.2, largest_octets=1), id="codel"),
        pytest.param(random_early(1, 4, 0.1, weight=0.5, top_chance=1.0), id="red"),
    ],
)
def test_the_drop_policies_of_unit_10_drop_here_too(drop):
    arrivals = [(0.05, 100)] * 60  # twice as fast as the line
    kept = [
        number_of(e.frame) for e in sent_by(Line(LineSettings(RATE), LineRules(drop)), arrivals)
    ]
    assert 20 < len(kept) < 60
    packets = trace([at_s for at_s, _ in frames_of(arrivals)], octets=100)
    fates = simulate(packets, RATE, drop=drop, compiled=False).fate
    if drop.at_head.__name__ == "codel_at_head":  # it draws no chances, so both do the same
        assert kept == [number for number, fate in enumerate(fates) if fate == 0]


def test_a_policy_of_ones_own_runs_here():
    def no_large(view, settings, memory):
        return view.octets > settings[0]

    line = Line(rules=LineRules(own_policy(no_large, settings=(150,), tell=str)))
    out = sent_by(line, [(0.1, 100), (0.1, 200), (0.1, 120)])
    assert [len(each.frame) for each in out] == [100, 120]
    assert line.dropped == 1


def by_octet_2(frame):
    return frame[2]


@pytest.mark.parametrize(
    ("scheduler", "order"),
    [
        pytest.param(strict_priority(2), [1, 0, 0, 1, 1], id="priority"),
        pytest.param(deficit_round_robin([100, 100]), [1, 0, 1, 0, 1], id="round-robin"),
    ],
)
def test_schedulers_choose_whose_turn_it_is(scheduler, order):
    line = Line(LineSettings(RATE), LineRules(scheduler=scheduler, flow_of=by_octet_2))
    for flow in (1, 1, 1, 0, 0):
        line.offer(0.0, bytes([0, 0, flow]) + bytes(97))
    assert [each.frame[2] for each in line.due(10.0)] == order


def fails(*_):
    raise KeyError("oops")


@pytest.mark.parametrize(
    "rules",
    [
        pytest.param(lambda: LineRules(own_policy(fails, tell=str)), id="drop-rule"),
        pytest.param(lambda: LineRules(scheduler=strict_priority(2), flow_of=fails), id="flow"),
        pytest.param(
            lambda: LineRules(scheduler=strict_priority(2)._replace(choose=fails)), id="choice"
        ),
    ],
)
def test_a_rule_that_fails_is_written_down_and_the_line_goes_on(rules):
    line = Line(LineSettings(RATE), rules())
    assert len(sent_by(line, [(0.0, 100)] * 5)) == 5
    assert any("oops" in text for text in line.complaints)


def test_loss_is_periodic_and_starts_anew_with_a_new_period():
    line = Line(LineSettings(loss_period=3))
    arrivals = [(0.1, 20)] * 9
    assert [number_of(e.frame) for e in sent_by(line, arrivals)] == [0, 1, 3, 4, 6, 7]
    line.settings = LineSettings(loss_period=2)
    line.offer(1e6, bytes(20))
    assert line.lost == 3


def test_a_line_that_is_cut_loses_what_is_in_it_and_begins_empty():
    line = Line(LineSettings(RATE, delay_s=1.0))
    for _ in range(3):
        line.offer(0.0, bytes(100))
    line.due(0.15)  # one travels, one is being sent, one waits
    line.is_up = False
    line.offer(0.2, bytes(100))
    assert (line.lost, line.waiting, line.next_s()) == (4, 0, math.inf)
    line.is_up = True
    line.offer(5.0, bytes(100))
    assert [at_s for at_s, _ in line.due(10.0)] == [pytest.approx(6.1)]


def test_a_shorter_delay_lets_nobody_overtake():
    line = Line(LineSettings(delay_s=1.0))
    line.offer(0.0, b"first")
    line.due(0.0)
    line.settings = LineSettings(delay_s=0.1)
    line.offer(0.1, b"second")
    assert line.due(2.0) == [(1.0, b"first"), (1.0, b"second")]


@pytest.mark.parametrize(
    "settings",
    [
        LineSettings(rate_bits_per_s=0),
        LineSettings(delay_s=-1),
        LineSettings(queue_packets=0),
        LineSettings(loss_period=0),
        LineSettings(delay_s=math.inf),
    ],
)
def test_settings_that_no_line_can_have_are_refused_in_words(settings):
    with pytest.raises(ValueError, match="must be"):
        Line(settings)


def test_settings_travel_as_plain_data():
    settings = LineSettings(1e6, 0.1, 20, 100, OwnSource("def rule(): ...", "rule"))
    assert LineSettings.from_data(settings.as_data()) == settings
