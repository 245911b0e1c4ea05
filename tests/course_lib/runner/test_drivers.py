"""Drivers: how one case reaches an answer."""

import pytest

from course_lib.runner.drivers import DRIVERS


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
