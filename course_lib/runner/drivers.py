"""How one case is put to an answer: a driver feeds it in and returns what came out.

A driver gets the answer (the function or class that a student wrote) and the
arguments of one case. It runs inside the answer's own process and returns plain
data. Most exercises use `call`.
"""

__all__ = ["DRIVERS", "Driver"]

from collections.abc import Callable, Mapping
from typing import Any

Driver = Callable[..., Any]


def call(answer: Callable[..., Any], *arguments: Any) -> Any:
    """Call the function once and return what it returns."""
    return answer(*arguments)


def operate(answer: Callable[..., Any], steps: list[list[Any]]) -> list[Any]:
    """Make one object and call its methods in turn; return what each call returned.

    A step is `[method, argument, ...]`; the first, `["new", ...]`, makes the object.
    """
    (_, *arguments), *rest = steps
    thing = answer(*arguments)
    return [getattr(thing, method)(*values) for method, *values in rest]


def with_stages(
    answer: Callable[..., Any], packets: list[Any], stages: list[tuple[str, str]]
) -> Any:
    """Call the function with packets, and with stages: pairs of a name and a function.

    Only plain data comes this way, so each function comes as its text, a `lambda`.
    """
    return answer(packets, [(name, eval(text, {})) for name, text in stages])


DRIVERS: Mapping[str, Driver] = {
    "call": call,
    "operate": operate,
    "with_stages": with_stages,
}
