"""How one case is put to an answer: a driver feeds it in and returns what came out.

A driver gets the answer (the function or class that a student wrote) and the
arguments of one case. It runs inside the answer's own process and returns plain
data. Most exercises use `call`. Unless a driver says otherwise, arguments are lent
(`lent.py`): an answer that changes one raises `ArgumentChangedError`, whatever else it does.
"""

__all__ = ["DRIVERS", "Driver", "step_of"]

from collections.abc import Callable, Mapping
from typing import Any

from course_lib.runner.lent import Lent
from course_lib.runner.paper_parts import PaperParts

Driver = Callable[..., Any]


def call(answer: Callable[..., Any], *arguments: Any) -> Any:
    """Call the function once and return what it returns."""
    return Lent().call(answer, arguments)


def operate(answer: Callable[..., Any], steps: list[list[Any]]) -> list[Any]:
    """Make objects and call their methods in turn; return what each call returned.

    A step is `["new", argument, ...]`, which makes one more object, or `[method, argument, ...]`
    for the object made last, or `[number, method, argument, ...]` for the object of that number,
    counted from 0.
    """
    lent = Lent()
    things: list[Any] = []
    returned = []
    for step in steps:
        number, method, arguments = step_of(step)
        if method == "new":
            things.append(lent.call(answer, arguments))
        else:
            returned.append(lent.call(getattr(things[number], method), arguments))
    return returned


def step_of(step: list[Any]) -> tuple[int, str, list[Any]]:
    """Return the number of the object that a step is for (-1: the last), the method, its arguments.

    >>> step_of(["pick", 5]), step_of([0, "pick", 5])
    ((-1, 'pick', [5]), (0, 'pick', [5]))
    """
    number, method, *arguments = step if isinstance(step[0], int) else [-1, *step]
    return number, method, arguments


def with_stages(
    answer: Callable[..., Any], packets: list[Any], stages: list[tuple[str, str]]
) -> Any:
    """Call the function with packets, and with stages: pairs of a name and a function.

    Only plain data comes this way, so each function comes as its text, a `lambda`. Both lists may
    be changed, as the contract says: nobody else has them.
    """
    return answer(packets, [(name, eval(text, {})) for name, text in stages])


def with_parts(
    answer: Callable[..., Any], world: dict[str, Any], steps: list[list[Any]]
) -> list[Any]:
    """Make a router of parts on paper, and call its methods in turn; return what each returned.

    A step is `[method, argument, ...]`.
    """
    lent = Lent()
    router = lent.call(answer, (PaperParts(world), world["own"]))
    return [lent.call(getattr(router, method), arguments) for method, *arguments in steps]


def fill_in(answer: Callable[..., Any], waiting: list[list[int]]) -> list[int]:
    """Call a rule of `course_lib.switching.matching` with arrays; return what it filled in.

    It may change all of them, as the contract says. Settings and memory are empty.
    """
    import numpy as np  # not at the top: most answers need no arrays, and loading takes long

    matched = np.full(len(waiting), -1, np.int64)
    nothing = np.zeros(0, np.int64)
    answer(np.array(waiting, np.int64), nothing, nothing, matched)
    return [int(output) for output in matched]


DRIVERS: Mapping[str, Driver] = {
    "call": call,
    "operate": operate,
    "with_stages": with_stages,
    "with_parts": with_parts,
    "fill_in": fill_in,
}
