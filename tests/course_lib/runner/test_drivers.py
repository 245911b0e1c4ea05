"""Drivers: how one case reaches an answer."""

import pytest

from course_lib.runner.drivers import DRIVERS
from course_lib.runner.paper_parts import WORLD, PaperParts


def first_stage_on_first_packet(packets, stages):
    ((name, stage), *_) = stages
    return name, stage(packets[0])


@pytest.mark.parametrize(
    ("text", "result"),
    [
        pytest.param("lambda packet: packet | {'ttl': 2}", {"ttl": 2}, id="a-packet"),
        pytest.param("lambda packet: 'filtered'", "filtered", id="a-reason"),
        pytest.param("lambda packet: None", None, id="nothing"),
    ],
)
def test_a_stage_comes_as_text_and_reaches_the_answer_as_a_function(text, result):
    drive = DRIVERS["with_stages"]
    given = drive(first_stage_on_first_packet, [{"ttl": 3}], [["lower", text]])
    assert given == ("lower", result)


def test_a_stage_knows_nothing_but_python_itself():
    with pytest.raises(NameError):
        DRIVERS["with_stages"](first_stage_on_first_packet, [{}], [["spy", "lambda p: DRIVERS"]])


def test_an_object_is_made_once_and_its_methods_are_called_in_turn():
    steps = [["new", [3, 1]], ["append", 2], ["index", 2], ["sort"], ["index", 2]]
    assert DRIVERS["operate"](list, steps) == [None, 2, None, 1]


class Opener:
    """As little of a router as shows that parts and calls arrive."""

    def __init__(self, parts, own):
        self.parts, self.own = parts, own

    def receive(self, now_s, interface, frame):
        to, kind, _ = self.parts.open_frame(frame)
        return [now_s, kind, to == self.own[interface][1]]


def test_a_router_gets_parts_that_work_on_paper_and_its_methods_are_called_in_turn():
    steps = [
        ["receive", 1, "west", {"to": "00:00:5e:00:53:01", "kind": "packet", "holds": {}}],
        ["receive", 2, "east", {"to": "00:00:5e:00:53:01", "kind": "other", "holds": {}}],
    ]
    given = DRIVERS["with_parts"](Opener, WORLD, steps)
    assert given == [[1, "packet", True], [2, "other", False]]


def test_parts_on_paper_forget_nothing_from_one_router_to_the_next():
    known = dict(WORLD["known"])
    message = {"from": "192.0.2.9", "hardware address": "00:00:5e:00:53:a9", "asks for": None}
    PaperParts(WORLD).hear(0, "west", message)
    assert WORLD["known"] == known
