"""In a real browser no words of a journey or a timeline leave the picture or cover each other."""

from functools import partial

import pytest

from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
from course_lib.figures.tracing.packet_journey import journey_scene
from course_lib.figures.tracing.timeline_diagram import timeline_diagram
from course_lib.forwarding.queue import Queue
from course_lib.forwarding.stages import Rewrite
from course_lib.forwarding.verdicts import HELD, Divert, Drop
from course_lib.headers.errors import Reason
from course_lib.tracing.journey import follow
from course_lib.tracing.timeline import Timeline
from course_lib.tracing.watched_router import WatchedRouter
from pages.words_in_figures import SIZE, all_boxes, covered

PLAIN = ARRIVALS["plain"]
LONG_OPTIONS = bytearray(PLAIN.frame[:14] + b"\x4f" + PLAIN.frame[15:34] + bytes(40) + bytes(1400))


def a_stage_with_a_very_long_name_indeed(packet):
    return packet._replace(payload=bytes(1480), leaves_on="to nowhere that anybody knows")


def journey(*stages, name="plain", frame=None):
    router = north_pier()
    router.stages[3:3] = stages
    arrival = ARRIVALS[name]
    return follow(router, 0.0, arrival.interface, arrival.frame if frame is None else bytes(frame))


def many_parts():
    """Follow a packet that is cut into more parts than are drawn one by one."""
    router = north_pier()
    narrow = router.interfaces["to Plover"]._replace(mtu=68)
    router.interfaces["to Plover"] = narrow
    router.stages[3] = Rewrite(router.interfaces.values())
    return follow(router, 0.0, *ARRIVALS["too large"])


def timeline(step_s, queue, start_s=0.0):
    router = north_pier()
    router.stages[4] = queue
    watched = WatchedRouter(router, Timeline())
    for number in range(130):
        watched.receive(number * step_s, *list(ARRIVALS.values())[number % 9])
        watched.tick(number * step_s)
    return timeline_diagram(watched.timeline, start_s=start_s, packet=3)


JOURNEYS = {
    **{name: partial(journey, name=name) for name in ARRIVALS},
    "no frame": partial(journey, frame=b""),
    "cut short": partial(journey, frame=PLAIN.frame[:23]),
    "long options": partial(journey, frame=LONG_OPTIONS),
    "address resolution": partial(journey, frame=PLAIN.frame[:12] + b"\x08\x06" + bytes(range(28))),
    "strange answer": partial(journey, lambda packet: Divert("dance", packet)),
    "raises": partial(journey, lambda packet: 1 / 0),
    "long name": partial(journey, a_stage_with_a_very_long_name_indeed),
    "many stages": partial(journey, *[lambda packet: packet] * 40),
    "many not reached": partial(
        journey, lambda packet: Drop(Reason.FILTERED), *[lambda packet: packet] * 9
    ),
    "kept back": partial(journey, lambda packet: HELD),
    "many parts": many_parts,
}
TIMELINES = {
    "dense": partial(timeline, 1e-6, Queue()),
    "sparse": partial(timeline, 1e-3, Queue()),
    "with queues": partial(timeline, 1e-5, Queue({"to Plover": 1e6, "to Reed Pier": 1e5})),
    "late": partial(timeline, 1.0, Queue(), start_s=120.0),
    "empty": partial(timeline_diagram, Timeline()),
}


def look_at(page, *figures):
    for step, (width, height, found) in enumerate(all_boxes(page, figures)):
        assert found, step
        outside = [
            one["words"] for one in found
            if one["x"] < 0 or one["right"] > width or one["y"] < 0 or one["bottom"] > height
        ]  # fmt: skip
        assert (step, outside, covered(found)) == (step, [], [])
        assert 0 < len(figures[step].svg) < 120_000, step


@pytest.mark.parametrize("name", JOURNEYS)
def test_words_of_each_step_stay_in_the_picture_and_do_not_cover_others(page, name):
    guess = list(JOURNEYS).index(name) % 7
    told = JOURNEYS[name]()
    steps = range(len(told.steps) + 1)
    look_at(page, *(journey_scene(told, until, guess=guess).figure() for until in steps))


@pytest.mark.parametrize("name", TIMELINES)
def test_words_of_a_timeline_stay_in_the_picture_and_do_not_cover_others(page, name):
    look_at(page, TIMELINES[name]())


def test_a_picture_fits_into_the_width_of_a_cell(page):
    page.set_content(journey_scene(journey(name="too large"), 0).figure().svg)
    assert page.evaluate(SIZE)[0] <= 900
