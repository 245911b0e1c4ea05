"""A part of the student's own names itself when it fails, alone and inside a router."""

import traceback

import numpy as np
import pytest

from classes.in_this_process import result_of_case
from course_lib.exercises.registry import all_exercises, exercise, public_cases
from course_lib.exercises.verdict import agrees
from course_lib.forwarding.router import Router
from course_lib.headers.ethernet import EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.ip.packets import Interface
from course_lib.my_parts import PartError, my_parts
from course_lib.my_parts.careful_part import careful
from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import parse_address, parse_mac
from instructor.units.items import item, source_of

UNIT = "02-checksums"
HEADER = bytes.fromhex("4500 0073 0000 4000 4011 b861 c0a8 0001 c0a8 00c7")


def raising(problem):
    def function(*_):
        raise problem

    return function


def test_an_error_names_function_exercise_and_line(save):
    save(UNIT, "import math\n\ndef fold(total):\n    return math.nothing(total)\n")
    parts = my_parts("fold", even_if_wrong=True)
    message = r"your fold \(exercise 2.1, line 4\) raised AttributeError: module 'math' has no "
    with pytest.raises(PartError, match=message):
        parts.fold(1)


def test_an_error_in_a_helper_of_another_cell_names_that(save):
    save(UNIT, "def low(n):\n    return n.low\n", "def fold(total):\n    return low(total)\n")
    with pytest.raises(PartError, match=r"\(exercise 2.1, other cells, line 2\) raised Attr"):
        my_parts("fold", even_if_wrong=True).fold(1)


def test_the_traceback_shows_the_line_itself(save):
    save(UNIT, "def fold(total):\n    return total.carries  # here\n")
    with pytest.raises(PartError) as caught:
        my_parts("fold", even_if_wrong=True).fold(1)
    shown = "".join(traceback.format_exception(caught.value.__cause__))
    assert 'File "exercise 2.1", line 2, in fold\n    return total.carries  # here' in shown


def test_a_refusal_that_the_exercise_asks_for_passes_as_it_is(save):
    save(UNIT, source_of(item("2.5").answer))
    parts = my_parts("lower_time_to_live")
    with pytest.raises(ValueError, match="goes no further") as caught:
        parts.lower_time_to_live(HEADER[:8] + b"\x01" + HEADER[9:])
    assert "your lower_time_to_live (exercise 2.5, line" in caught.value.__notes__[0]


def test_a_value_error_where_none_is_asked_for_is_no_refusal():
    with pytest.raises(PartError, match=r"your fold \(exercise 2.1\) raised ValueError: no"):
        careful(exercise("2.1"), raising(ValueError("no")))(1)


@pytest.mark.parametrize(
    ("exercise_id", "value", "said"),
    [
        ("2.1", None, "returned None, the exercise asks for int"),
        ("2.1", 2.0, "returned a float, the exercise asks for int"),
        ("2.1", object(), "returned an object of type object, the exercise asks for int"),
        ("2.5", "octets", "returned a str, the exercise asks for bytes"),
        ("1.4", ["192.0.2.1"], "returned a list, the exercise asks for dict"),
        ("4.2", "Reed", "returned a str, the exercise asks for None or tuple"),
    ],
)
def test_a_result_of_another_type_is_an_error(exercise_id, value, said):
    part = careful(exercise(exercise_id), lambda *_: value)
    with pytest.raises(PartError) as caught:
        part()
    what = exercise(exercise_id).function
    assert str(caught.value) == f"your {what} (exercise {exercise_id}) {said}"


@pytest.mark.parametrize(
    ("exercise_id", "value", "same"),
    [
        ("2.5", bytearray(b"E"), b"E"),
        ("2.1", np.uint16(7), 7),
        ("2.3", np.bool_(True), True),
        ("4.2", ("10.0.0.0/8", "Reed"), ("10.0.0.0/8", "Reed")),
        ("4.2", None, None),
    ],
)
def test_what_an_answer_may_return_comes_as_python_s_own(exercise_id, value, same):
    given = careful(exercise(exercise_id), lambda *_: value)()
    assert (given, type(given)) == (same, type(same))


@pytest.mark.parametrize("one", all_exercises(), ids=lambda one: one.id)
def test_right_answers_go_through_unharmed(one):
    """Every public case of every exercise, refusals included."""
    answer = item(one.id).answer
    part = careful(one, answer)
    assert (part.__name__, part.__doc__) == (answer.__name__, answer.__doc__)
    for case in public_cases(one.id):
        assert agrees(case.expected, result_of_case(one, part, case.arguments)), case


def test_a_table_names_itself_too(save):
    source = source_of(item("4.4").answer)
    save("04-longest-prefix-match", source)
    table = my_parts("new_table").new_table()
    table.insert("203.0.113.0/24", "Reed")
    assert table.look_up("203.0.113.9") == "Reed"
    with pytest.raises(KeyError) as caught:
        table.withdraw("192.0.2.0/24")
    assert "your new_table().withdraw (exercise 4.4, line" in caught.value.__notes__[0]
    with pytest.raises(PartError, match=r"your new_table\(\).look_up \(exercise 4.4, "):
        table.look_up(None)
    assert repr(table) == "<what your new_table made, exercise 4.4>"


def test_inside_a_router_the_complaint_names_the_part(save):
    save(UNIT, "def is_header_intact(packet):\n    return packet[99] == 0\n")
    parts = my_parts("is_header_intact", even_if_wrong=True)

    def look(packet):
        return packet if parts.is_header_intact(packet.header.build()) else None

    own = parse_mac("00:00:5e:00:53:01")
    pier = Interface("sea", own, parse_address("192.0.2.1"), parse_prefix("192.0.2.0/24"))
    router = Router("North Pier", [pier])
    router.stages.insert(2, look)
    header = IPv4Header(0, 20, 0, 0, 0, 64, 17, 0, 0xC0000211, 0xCB007109).with_checksum()
    frame = EthernetHeader(own, parse_mac("00:00:5e:00:53:02"), 0x0800).build()
    assert router.receive(0.0, "sea", frame + header.build()) == []
    assert list(router.complaints) == [
        "stage look: PartError: your is_header_intact (exercise 2.3, line 2) raised "
        "IndexError: index out of range"
    ]
