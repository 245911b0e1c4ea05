"""Write values and calls so that they can be typed into a fresh cell and give what is said.

>>> shown((0x4500, [bytes(4)]), in_hex=True)
'(0x4500, [bytes.fromhex("0000 0000")])'
"""

__all__ = ["call_text", "shown"]

import math
from typing import Any

from course_lib.exercises.registry import Exercise
from course_lib.runner.drivers import step_of

LARGE = 10_000  # from here on digits stand in threes


def shown(value: Any, *, in_hex: bool = False) -> str:
    """Write a value as Python that can be pasted: octets in pairs, numbers perhaps `in_hex`.

    Digits of large numbers stand in threes, as Python allows: 65_536.
    """
    if isinstance(value, bytes) and value:
        return f'bytes.fromhex("{value.hex(" ", -2)}")'
    if isinstance(value, bytearray):
        return f"bytearray({shown(bytes(value))})"
    if isinstance(value, tuple):
        items = ", ".join(shown(item, in_hex=in_hex) for item in value)
        return f"({items},)" if len(value) == 1 else f"({items})"
    if isinstance(value, list):
        return "[" + ", ".join(shown(item, in_hex=in_hex) for item in value) + "]"
    if isinstance(value, set) and value:
        return "{" + ", ".join(sorted(shown(item, in_hex=in_hex) for item in value)) + "}"
    if isinstance(value, dict):
        pairs = (f"{shown(key)}: {shown(item, in_hex=in_hex)}" for key, item in value.items())
        return "{" + ", ".join(pairs) + "}"
    if in_hex and isinstance(value, int) and not isinstance(value, bool) and value >= 0:
        return f"{value:#06x}"
    if isinstance(value, float) and not math.isfinite(value):
        return f'{"-" if value < 0 else ""}float("{abs(value)}")'  # repr gives a name: inf, nan
    if isinstance(value, int | float) and abs(value) >= LARGE:
        return f"{value:_}"  # a bool is never as large
    return repr(value)


def call_text(item: Exercise, arguments: tuple[Any, ...], steps: int | None = None) -> str:
    """Write what an exercise's driver does with a case, as a student could type it.

    Of a case made of steps, `steps` limits how many calls are written.
    """
    in_hex = item.hex in ("arguments", "both")
    if item.driver == "operate":
        return _steps_text(item, arguments[0], steps, in_hex)
    if item.driver == "with_parts":
        world, calls = arguments
        made = f"world = {shown(world)}; a = {item.function}(PaperParts(world), world['own'])"
        return f"{made}; [{', '.join(_call_of('a', *call) for call in calls[:steps])}]"
    given = [shown(argument, in_hex=in_hex) for argument in arguments]
    if item.driver == "with_stages":
        stages = ", ".join(f"({name!r}, {text})" for name, text in arguments[-1])
        given[-1] = f"[{stages}]"
    if item.driver == "fill_in":
        matched = f"matched = np.full({len(arguments[0])}, -1)"
        return (
            f"{matched}; {item.function}(np.array({given[0]}), (), (), matched); matched.tolist()"
        )
    return f"{item.function}({', '.join(given)})"


def _steps_text(item: Exercise, steps: list[list[Any]], most: int | None, in_hex: bool) -> str:
    """Write `a = Pipe(3); [a.send(1), a.send(2)]`; objects are a, b, c in the order they are made.

    Objects are made first in what is written, whenever it was. After the last of the calls that
    are written, nothing is.
    """
    made: list[str] = []
    calls: list[str] = []
    for step in steps:
        if len(calls) == most:
            break
        number, method, arguments = step_of(step)
        given = ", ".join(shown(one, in_hex=in_hex) for one in arguments)
        if method == "new":
            made.append(f"{_name(len(made))} = {item.function}({given})")
        else:
            place = number if number >= 0 else len(made) - 1
            calls.append(f"{_name(place)}.{method}({given})")
    return "; ".join([*made, f"[{', '.join(calls)}]"])


def _call_of(name: str, method: str, *arguments: Any) -> str:
    return f"{name}.{method}({', '.join(map(shown, arguments))})"


def _name(number: int) -> str:
    return chr(ord("a") + number)
