"""`my_numbers`: show the calls that an exercise makes with one's own numbers, and no results."""

__all__ = ["my_numbers", "whose_numbers"]

from course_lib.exercises.calls import call_text
from course_lib.exercises.display import Panel, show
from course_lib.exercises.feedback import table
from course_lib.exercises.personal.code import NO_CODE, CodeError, read_code
from course_lib.exercises.personal.own_cases import own_cases
from course_lib.exercises.registry import exercise


def my_numbers(exercise_id: str, my_code: str = NO_CODE) -> None:
    """Show an exercise's calls with the numbers of a code; without one, with those for everybody.

    Raises `LookupError` for an id that does not exist.
    """
    item = exercise(exercise_id)
    code, said = whose_numbers(str(my_code))  # whatever was typed
    lines = [
        (case.aspect.capitalize(), f"`{call_text(item, case.arguments)}`")
        for case in own_cases(item.id, code)
    ]
    show(Panel(f"Exercise {item.id} · {item.title} · own numbers", (("Whose", said), *lines)))


def whose_numbers(typed: str) -> tuple[str, str]:
    """Return the code that was typed, and say whose numbers it gives."""
    words = table()["own numbers"]
    try:
        code = read_code(typed)
    except CodeError as problem:
        return NO_CODE, words["mistyped"].format(problem=problem)
    return code, words["with code"].format(code=code) if code else words["without code"]
