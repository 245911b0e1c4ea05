"""Parts that travel as text: what was chosen in the notebook is what runs in another process."""

import ast

import pytest

from course_lib.exercises.registry import exercise
from course_lib.my_parts.carried import carried, with_parts_carried
from course_lib.my_parts.choosing import borrowed_or_missing
from course_lib.my_parts.parts import Part, Parts
from course_lib.runner.runner import StandAlone

OWN = "def lower_time_to_live(header):\n    return STEP + header\n"
ANSWER = StandAlone(OWN, before="STEP = b'\\x01'")
PARTS = Parts((
    Part(exercise("2.5"), lambda header: header, "yours", "", ANSWER),
    borrowed_or_missing(exercise("2.3"), ""),
    borrowed_or_missing(exercise("10.2"), ""),
))  # fmt: skip
STAGE = """def stage(packet):
    return kit.lower_time_to_live(packet)
"""
CALL = """kit = my_parts(
    "lower_time_to_live", "is_header_intact",
    "one_tooth"); other = 7
"""


def run(text):
    names = {}
    exec(text, names)
    return names


def test_own_borrowed_and_missing_parts_arrive_without_any_workbook():
    done = run(with_parts_carried(StandAlone(STAGE, before=CALL), {"kit": PARTS}).whole)
    assert done["stage"](b"!") == b"\x01!"
    assert [part.whose for part in done["kit"]] == ["yours", "borrowed", "missing"]
    assert (
        done["kit"].is_header_intact(bytes.fromhex("4500001400000000000000000000000000000000"))
        is False
    )
    assert done["other"] == 7
    with pytest.raises(LookupError, match=r"answer exercise 10\.2 first"):
        done["kit"].one_tooth(1, 1)


def test_lines_keep_their_numbers():
    whole = with_parts_carried(StandAlone(CALL + STAGE), {"kit": PARTS}).source
    (function,) = (one for one in ast.parse(whole).body if isinstance(one, ast.FunctionDef))
    assert function.lineno == 4


@pytest.mark.parametrize("text", [
    STAGE, "kit = 7", "kit = None if True else my_parts()", "kit = other = my_parts()",
    "kit = my_parts(",
])  # fmt: skip
def test_nothing_else_is_touched(text):
    answer = StandAlone(text)
    assert with_parts_carried(answer, {"kit": PARTS}) is answer
    assert with_parts_carried(StandAlone("kit = f()"), {"kit": 7}).source == "kit = f()"


def test_a_part_that_nobody_knows_is_named():
    with pytest.raises(LookupError, match="no part called 'gangway'"):
        carried({"gangway": None})
