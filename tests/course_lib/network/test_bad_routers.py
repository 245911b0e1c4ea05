"""A router that does something wrong is named and counted, and everybody else goes on.

Frames pass Plover - Pier 1 - Curlew. Plover also has nothing to do with the fault, nor has Curlew.
"""

import contextlib
import gc
import math
import re
import signal
import sys
import threading
import time

import pytest

from course_lib.ip.packets import OutgoingFrame
from course_lib.network import mistakes
from course_lib.network.records import What
from course_lib.runner.time_limit import CallLimit, TookTooLongError
from networks.network_stand_ins import Faulty, arrivals, chain, frame_of

FRAMES = 5
GOOD = OutgoingFrame("east", frame_of(60, 77))


def run_with(frames=FRAMES, call_limit_s=0.05, **calls):
    """Let `frames` frames come to a relay of which some calls are replaced."""
    scenes = [(0.01 * (n + 1), "east", frame_of(60, n)) for n in range(frames)]
    network = chain(scenes, relays=1, make=lambda own: Faulty(own, **calls))
    network.limit.limit_s = call_limit_s
    network.run_until(1)
    return network


def told(network, what):
    """Return the texts of the mistakes; all of them must be of one kind and name the place."""
    found = mistakes(network.records)
    assert {(record.what, record.place) for record in found} == {(what, "Pier 1")}
    assert all("router 'Pier 1' at 0.0" in record.text for record in found)
    return [record.text for record in found]


def numbers(network):
    return [frame[-1] for *_, frame in arrivals(network)]


# --- raising


def raiser(error):
    def receive(now_s, interface, frame):
        if frame[-1] == 2:
            raise error
        return [OutgoingFrame("east", frame)]

    return receive


class UnprintableError(Exception):
    def __str__(self):
        raise RuntimeError("not even this")


@pytest.mark.parametrize(
    ("error", "says"),
    [
        (ValueError("no such header"), "raised ValueError: no such header (line"),
        (KeyError("east"), "raised KeyError: 'east' (line"),
        (RecursionError(), "raised RecursionError"),
        (SystemExit(3), "raised SystemExit: 3"),
        (UnprintableError(), "raised UnprintableError (which cannot even be printed)"),
        (ValueError("x" * 5000), "x" * 250),
    ],
)
def test_an_error_costs_the_frame_that_caused_it_and_no_other(error, says):
    network = run_with(receive=raiser(error))
    assert numbers(network) == [0, 1, 3, 4]
    (text,) = told(network, What.FAILED)
    assert says in text
    assert len(text) < 700


def test_the_message_names_place_time_interface_frame_and_line():
    (text,) = told(run_with(receive=raiser(ValueError("no such header"))), What.FAILED)
    assert text.startswith("router 'Pier 1' at 0.0300048 s: receive() for a frame on 'west' (")
    assert "ether type 0x88b5 from 00:00:5e:00:53:01 to 00:00:5e:00:53:02" in text
    assert "in receive)" in text


def test_an_error_in_tick_is_told_with_its_time():
    network = run_with(next_tick_s=once(0.025), tick=lambda now_s: [][1])
    (text,) = told(network, What.FAILED)
    assert "at 0.025 s: tick() raised IndexError" in text
    assert numbers(network) == [0, 1, 2, 3, 4]


def test_an_error_in_the_question_for_the_next_time_is_told_whenever_it_is_asked():
    network = run_with(next_tick_s=lambda: 1 / 0)
    texts = [record.text for record in mistakes(network.records)]
    assert len(texts) == 1 + FRAMES
    assert all("next_tick_s() raised ZeroDivisionError" in text for text in texts)
    assert numbers(network) == [0, 1, 2, 3, 4]


def once(time_s):
    """Return a `next_tick_s` that asks for one time until it has been asked after it."""
    asked = []

    def next_tick_s():
        asked.append(time_s)
        return time_s if len(asked) < 4 else math.inf

    return next_tick_s


def test_a_person_who_interrupts_is_told_where_it_happened():
    scenes = [(0.5, "east", frame_of(60))]
    network = chain(scenes, relays=1, make=lambda own: Faulty(own, receive=interrupted))
    with pytest.raises(KeyboardInterrupt) as caught:
        network.run_until(1)
    assert "At 0.5" in caught.value.__notes__[0]
    assert (
        "router 'Pier 1' was busy with receive() for a frame on 'west'"
        in (caught.value.__notes__[0])
    )


def interrupted(now_s, interface, frame):
    raise KeyboardInterrupt


# --- garbage


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        (None, "the answer is None, must be a list of OutgoingFrame"),
        (7, "the answer is a value of type int"),
        (GOOD[1], "the answer is a value of type bytes"),
        ("east", "the answer is a value of type str"),
        ({"east": b""}, "the answer is a value of type dict"),
        ((frame for frame in [GOOD]), "the answer is a value of type generator"),
        ([None], "frame 1 of the answer: it is None, must be OutgoingFrame(interface, frame)"),
        ([["east", GOOD[1]]], "frame 1 of the answer: it is a value of type list"),
        ([("east",)], "frame 1 of the answer: it is a value of type tuple"),
        ([("esat", GOOD[1])], "there is no interface 'esat', only 'west', 'east'"),
        ([(None, GOOD[1])], "there is no interface None, only"),
        ([([], GOOD[1])], "there is no interface a value of type list, only"),
        ([("east", None)], "for interface 'east' it holds None, must be bytes"),
        ([("east", "frame")], "for interface 'east' it holds a value of type str"),
        ([("east", bytearray(60))], "for interface 'east' it holds a value of type bytearray"),
        ([("east", b"")], "it has 0 octets, must be 14 (its header) to 1514 (header and MTU)"),
        ([("east", bytes(13))], "it has 13 octets"),
        ([("east", bytes(1515))], "it has 1515 octets"),
    ],
)
def test_what_no_wire_can_carry_is_refused_in_words(answer, says):
    network = run_with(frames=1, receive=lambda now_s, interface, frame: answer)
    (text,) = told(network, What.REFUSED)
    assert says in text
    assert "receive() for a frame on 'west'" in text
    assert arrivals(network) == []


@pytest.mark.parametrize("octets", [14, 1514])
def test_the_shortest_and_the_longest_frame_are_carried(octets):
    answer = [OutgoingFrame("east", bytes(octets))]
    network = run_with(frames=1, receive=lambda now_s, interface, frame: answer)
    assert [len(frame) for *_, frame in arrivals(network)] == [octets]
    assert mistakes(network.records) == []


def test_the_good_frames_of_an_answer_are_sent_all_the_same():
    answer = (GOOD, ("esat", GOOD[1]), GOOD, None)
    network = run_with(frames=1, receive=lambda now_s, interface, frame: answer)
    assert numbers(network) == [77, 77]
    first, second = told(network, What.REFUSED)
    assert "frame 2 of the answer" in first
    assert "frame 4 of the answer" in second


def test_an_answer_without_end_is_cut_off():
    network = run_with(frames=1, receive=lambda now_s, interface, frame: [GOOD] * 100_001)
    assert (
        "100001 frames in one answer, the first 100000 were taken"
        in (told(network, What.REFUSED)[0])
    )


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        (None, "next_tick_s() gave None, must be a number of seconds"),
        ("soon", "next_tick_s() gave a value of type str"),
        (True, "next_tick_s() gave a value of type bool"),
        (math.nan, "next_tick_s() gave nan; use math.inf when nothing is due"),
        (3 + 4j, "next_tick_s() gave a value of type complex"),
    ],
)
def test_a_time_that_is_none_is_refused_and_frames_pass_all_the_same(answer, says):
    network = run_with(next_tick_s=lambda: answer)
    assert numbers(network) == [0, 1, 2, 3, 4]
    found = [record for record in mistakes(network.records) if record.what is What.REFUSED]
    assert len(found) == 1 + FRAMES  # asked at the beginning and after each frame
    assert all(says in record.text for record in found)


@pytest.mark.parametrize("answer", [math.inf, 10**400, 2, 1.0000001])
def test_times_after_the_run_are_no_mistake(answer):
    network = run_with(next_tick_s=lambda: answer)
    assert mistakes(network.records) == []


# --- never coming back


@pytest.mark.parametrize("answer", [0.0, -math.inf, 0.02])
def test_a_timer_that_is_always_due_is_stopped_and_the_clock_goes_on(answer):
    network = run_with(next_tick_s=lambda: answer)
    texts = [r.text for r in mistakes(network.records)]
    assert len(texts) == 1
    assert "next_tick_s() wants tick() at this time again and again" in texts[0]
    assert network.now_s == 1


def test_a_timer_may_ring_any_number_of_times_as_long_as_the_clock_goes_on():
    times_s = [0.0]
    network = run_with(
        next_tick_s=lambda: times_s[-1] if times_s[-1] < 1 else math.inf,
        tick=lambda now_s: times_s.append(now_s + 0.0005) or [],
    )
    assert len(times_s) > 1500
    assert mistakes(network.records) == []


def forever(now_s, interface, frame):
    while True:
        pass


def forever_and_stubborn(now_s, interface, frame):
    while True:
        with contextlib.suppress(Exception):
            forever(now_s, interface, frame)


def forever_and_more_stubborn(now_s, interface, frame):
    try:
        forever(now_s, interface, frame)
    except BaseException:
        forever(now_s, interface, frame)


needs_timer = pytest.mark.skipif(
    not hasattr(signal, "setitimer"), reason="this system has no timer for computing time"
)


@needs_timer
@pytest.mark.parametrize("loop", [forever, forever_and_stubborn, forever_and_more_stubborn])
def test_a_router_that_does_not_come_back_is_taken_out_and_the_others_go_on(loop):
    network = run_with(receive=loop)
    (text,) = told(network, What.STOPPED)
    assert "receive() for a frame on 'west'" in text
    assert "no end after 0.05 s of computing; it is not called any more" in text
    delivered = network.traffic()["Plover - Pier 1", "Plover"].delivered
    assert (delivered, network.now_s) == (FRAMES, 1)


class Boat:
    """Python calls `__del__` on its own account and throws away the errors that come of it."""

    def __del__(self):
        sum(number for number in range(300_000))


def makes_boats(now_s, interface, frame):
    for _ in range(100):
        Boat()
    return []


def makes_boats_in_a_finalizer(now_s, interface, frame):
    class Shipyard:
        def __del__(self):
            makes_boats(0, "", b"")

    for _ in range(3):
        Shipyard()
    return []


def collects_garbage(now_s, interface, frame):
    def work(phase, info):
        sum(number for number in range(300_000))

    gc.callbacks.append(work)
    try:
        for _ in range(50):
            gc.collect()
    finally:
        gc.callbacks.remove(work)
    return []


def makes_boats_unheard(now_s, interface, frame):
    """Whoever listens to errors that are thrown away hears nothing any more."""
    sys.unraisablehook = lambda what: None
    return makes_boats(now_s, interface, frame)


@needs_timer
@pytest.mark.parametrize(
    "loop",
    [
        makes_boats,
        makes_boats_in_a_finalizer,
        makes_boats_unheard,
        collects_garbage,
    ],
)
def test_a_router_whose_time_goes_into_finalizers_is_taken_out_too(loop):
    """The loops end some time, so that a limit that is swallowed fails the test, not the run."""
    network = run_with(receive=loop)
    (text,) = told(network, What.STOPPED)
    either = "(0.05 s of computing|1 s of waiting)"  # the second on a busy machine
    assert re.search(f"no end after {either}; it is not called any more", text)
    assert network.traffic()["Plover - Pier 1", "Plover"].delivered == FRAMES


@needs_timer
def test_a_debugger_that_is_at_work_is_put_back():
    """A limit that is swallowed needs tracing, of which a process has one."""

    def debugger(frame, event, argument):
        return None

    before = sys.gettrace()
    sys.settrace(debugger)
    try:
        with CallLimit(0.05) as limit, pytest.raises(TookTooLongError):
            limit.call(makes_boats, 0, "", b"")
        assert sys.gettrace() is debugger
    finally:
        sys.settrace(before)


@needs_timer
def test_other_errors_that_are_thrown_away_are_reported_as_ever(monkeypatch):
    class Leaky:
        def __del__(self):
            raise ValueError("a leak")

    heard = []
    monkeypatch.setattr(sys, "unraisablehook", lambda what: heard.append(str(what.exc_value)))
    before = sys.unraisablehook
    with CallLimit(1.0) as limit:
        limit.call(Leaky)
    assert heard == ["a leak"]
    assert sys.unraisablehook is before


@needs_timer
def test_a_router_that_sleeps_is_taken_out_too():
    network = run_with(receive=lambda now_s, interface, frame: time.sleep(60))
    (text,) = told(network, What.STOPPED)
    assert "no end after 1 s of waiting; it is not called any more" in text
    assert network.traffic()["Plover - Pier 1", "Plover"].delivered == FRAMES


@needs_timer
def test_the_wall_clock_timer_of_others_is_left_alone():
    signal.setitimer(signal.ITIMER_REAL, 3600)
    try:
        with CallLimit(1.0) as limit:
            assert limit.call(divmod, 7, 2) == (3, 1)
        assert signal.getitimer(signal.ITIMER_REAL)[0] > 3000
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)


@needs_timer
def test_the_limit_is_per_call_and_not_for_all_calls_together():
    def slow(now_s, interface, frame):
        sum(range(200_000))
        return [OutgoingFrame("east", frame)]

    network = run_with(frames=30, receive=slow, call_limit_s=0.3)
    assert len(arrivals(network)) == 30


@needs_timer
def test_the_signal_handler_of_others_is_put_back():
    before = signal.getsignal(signal.SIGVTALRM)
    run_with(receive=forever)
    assert signal.getsignal(signal.SIGVTALRM) is before
    assert signal.getitimer(signal.ITIMER_VIRTUAL) == (0.0, 0.0)


@needs_timer
def test_a_call_that_ends_in_time_gives_its_value_and_errors_as_they_are():
    with CallLimit(1.0) as limit:
        assert limit.call(divmod, 7, 2) == (3, 1)
        with pytest.raises(ZeroDivisionError):
            limit.call(divmod, 7, 0)


@needs_timer
def test_a_call_that_does_not_end_in_time_is_an_error():
    with CallLimit(0.02) as limit, pytest.raises(TookTooLongError, match=r"no end after 0\.02 s"):
        limit.call(forever, 0, "", b"")


@pytest.mark.parametrize("loop", [forever, forever_and_more_stubborn])
def test_elsewhere_than_in_the_main_thread_another_thread_ends_a_call(loop):
    values = []

    def elsewhere():
        with CallLimit(0.05) as limit, limit:
            values.append(limit.call(divmod, 7, 2))
            try:
                limit.call(loop, 0, "", b"")
            except TookTooLongError as error:
                values.append(str(error))
            values.append(limit.call(divmod, 7, 3))

    thread = threading.Thread(target=elsewhere)
    thread.start()
    thread.join()
    assert values in [
        [(3, 1), f"no end after {limit}", (2, 1)]
        for limit in ("0.05 s of computing", "1 s of waiting")  # the second on a busy machine
    ]
    assert not any(each.name == "call watch" for each in threading.enumerate())


@pytest.mark.parametrize("limit_s", [0, -1, math.nan])
def test_a_limit_leaves_some_time(limit_s):
    with pytest.raises(ValueError, match="limit_s must be more than 0"):
        CallLimit(limit_s)
