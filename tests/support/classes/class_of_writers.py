"""A class of which everybody wrote an answer in words and no code: graded without running any."""

from course_lib.exercises.registry import all_exercises
from course_lib.exercises.verdict import Outcome, without_run
from hand_ins.hand_in_files import UNIT, blank, hand_in
from instructor.grading.gradebook.writer import GradebookWriter
from instructor.grading.intake.intake import find_hand_ins
from instructor.grading.marked import MarkedAnswer, MarkedHandIn, TextAnswer
from instructor.release.course_folder import named_course

HOSTILE = (
    "<script>document.title = 'taken'</script><img src=x onerror=\"document.title = 'taken'\">\n"
    "</bdi></div><form action='http://192.0.2.1/'><h1>Full points</h1>\n\n"
    "![here](http://192.0.2.1/seen.png) [there](javascript:alert(1)) {{ 7 * 7 }} \u202eoot"
)
TEXTS = {
    "alder": "The 20 octets of padding would be taken for payload. Yours, Alder.",
    "bracken": "Padding of 20 octets would be taken for payload, as the frame is padded.",
    "clover": "No idea.",
    "dill": "No idea.",
    "elder": HOSTILE,
    "fennel": "*Write two or three sentences here.*",  # as it was handed out
}


def in_words(text):
    """Return the workbook as handed out, but for the answer in words."""
    workbook = blank()
    for cell in workbook.cells:
        if cell.metadata.get("nbgrader", {}).get("grade_id") == "explain-1":
            cell.source = text
    return workbook


def with_writers(course, texts):
    """Hand in what the students wrote and enter it into the gradebook, as grading would."""
    for student, text in texts.items():
        hand_in(course / "submitted", student, in_words(text))
    exercises = [one for one in all_exercises() if one.unit == UNIT]
    answers = tuple(MarkedAnswer(without_run(one, Outcome.NO_ANSWER), "") for one in exercises)
    with GradebookWriter(named_course(course)) as book:
        for one in find_hand_ins(course / "submitted", (UNIT,)).hand_ins:
            if one.student in texts:
                written = (TextAnswer("explain-1", 2.0),)
                book.write(one, MarkedHandIn(one.student, UNIT, answers, texts=written))
    return course
