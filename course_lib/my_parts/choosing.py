"""`my_parts`: for each part, the student's own if it passes, else the library's."""

__all__ = ["borrowed_or_missing", "exercise_of", "my_parts"]

import importlib
import importlib.util
from collections.abc import Mapping

from course_lib.exercises.registry import Exercise, all_exercises
from course_lib.my_parts.careful_part import Function, missing
from course_lib.my_parts.loaded_answer import NotTakenError
from course_lib.my_parts.own_answer import own_answer
from course_lib.my_parts.parts import Part, Parts
from course_lib.my_parts.saved_workbooks import NotReadError, SavedWorkbook, read_saved

Saved = Mapping[str, SavedWorkbook | NotReadError]


def my_parts(*functions: str, even_if_wrong: bool = False) -> Parts:
    """Return parts of a router by the names of their functions: your own, or borrowed ones.

    Your own comes from the saved workbook and is taken if it passes all public cases;
    with `even_if_wrong` it is taken whenever it can be run. Without names, all parts are meant.

    Raises `LookupError` for a name that no exercise has, and nothing because of your answers.
    """
    items = tuple(dict.fromkeys(map(exercise_of, functions))) or all_exercises()
    saved = {unit: _read(unit) for unit in dict.fromkeys(item.unit for item in items)}
    parts = tuple(_choose(item, saved, even_if_wrong=even_if_wrong) for item in items)
    return Parts(parts, _notes(parts, saved))


def _choose(item: Exercise, saved: Saved, *, even_if_wrong: bool) -> Part:
    workbook = saved[item.unit]
    try:
        if isinstance(workbook, NotReadError):
            raise NotTakenError(str(workbook))
        own = own_answer(item, workbook, even_if_wrong=even_if_wrong)
        return Part(item, own.function, "yours", own.why, own.answer)
    except NotTakenError as problem:
        return borrowed_or_missing(item, str(problem))


def borrowed_or_missing(item: Exercise, why: str) -> Part:
    """Return the library's part for an exercise, or what stands in where it has none."""
    function = _borrowed(item)
    if function is not None:
        return Part(item, function, "borrowed", why)
    why = f"{why}; nothing to borrow: answer exercise {item.id} first"
    return Part(item, missing(item), "missing", why)


def _borrowed(item: Exercise) -> Function | None:
    """Return the library's part for an exercise, None if it has none."""
    name = f"{__package__}.borrowed.unit_{item.unit[:2]}"
    if importlib.util.find_spec(name) is None:
        return None
    module = importlib.import_module(name)
    function: Function | None = vars(module).get(item.function)
    return function if item.function in module.__all__ else None


def exercise_of(function: str) -> Exercise:
    """Return the exercise of a function; raise `LookupError` with the names that there are."""
    for item in all_exercises():
        if item.function == function:
            return item
        if item.id == function:
            raise LookupError(
                f"parts go by the names of their functions: {item.function!r} "
                f"is the one of exercise {item.id}"
            )
    known = ", ".join(item.function for item in all_exercises())
    raise LookupError(f"there is no part called {function!r}; there are {known}")


def _read(unit: str) -> SavedWorkbook | NotReadError:
    try:
        return read_saved(unit)
    except NotReadError as problem:
        return problem


def _notes(parts: tuple[Part, ...], saved: Saved) -> tuple[tuple[str, str], ...]:
    """Say which state of each workbook was read, and what to do if that is not the newest."""
    notes = []
    for unit, workbook in saved.items():
        if isinstance(workbook, NotReadError):
            continue
        text = f"{workbook.file_name} as saved {workbook.saved}."
        if any(part.exercise.unit == unit and part.whose != "yours" for part in parts):
            text += " Is your newest answer missing? Save that workbook, then run this cell again."
        notes.append(("Read", text))
    return tuple(notes)
