"""Right answers pass, in whatever style: their writers had seen the workbook and no case.

All of them, wrong ones too, are put to `mark` and to grading by a report
(`tests/benchmarks/report_blind_answers.py`); here are the right ones, with `mark`.
"""

import pytest

from course_lib.exercises.registry import UNITS, exercise
from course_lib.exercises.tried_answer import mark_cells
from hand_ins.blind_answers import blind_answers, in_its_workbook

RIGHT = [
    pytest.param(answer, id=f"{answer.exercise}-{answer.name}")
    for unit in UNITS
    for answer in blind_answers(unit)
    if answer.kind == "right"
]


@pytest.mark.parametrize("answer", RIGHT)
def test_a_right_answer_passes_whatever_its_style(answer):
    item = exercise(answer.exercise)
    cells = in_its_workbook(answer)
    above = [name for name, _ in cells].index(item.mark_name)
    marked = mark_cells(item, [source for _, source in cells], above)
    assert marked.verdict.points == item.points, (answer.slip, marked.verdict)
