"""Parts that travel as text, into the process of a router: what was chosen here is what runs there.

The answers were tried when `my_parts` took them. So nothing is looked for or tried once more.
"""

__all__ = ["carried", "with_parts_carried"]

import ast
from collections.abc import Mapping
from typing import Any, TypeAlias

from course_lib.exercises.registry import public_cases
from course_lib.my_parts.choosing import borrowed_or_missing, exercise_of
from course_lib.my_parts.loaded_answer import load_answer
from course_lib.my_parts.parts import Part, Parts
from course_lib.runner.runner import StandAlone

Texts: TypeAlias = tuple[str, str, str]  # of an answer: source, before, after

_WHY = "carried along"
_CALL = "_carried_parts"
_IMPORT = f"from {__name__} import carried as {_CALL}\n"


def carried(sources: Mapping[str, Texts | None]) -> Parts:
    """Return parts by the names of their functions: own ones from their source, or else borrowed.

    >>> [part.whose for part in carried({"fold": ("def fold(data): return 7", "", "")})]
    ['yours']
    """
    return Parts(tuple(_part(name, texts) for name, texts in sources.items()))


def with_parts_carried(answer: StandAlone, names: Mapping[str, Any]) -> StandAlone:
    """Return source text in which the parts that `names` holds are carried, not looked for."""
    parts = {name: value for name, value in names.items() if isinstance(value, Parts)}
    source, before, after = (
        _replaced(text, parts) for text in (answer.source, answer.before, answer.after)
    )
    if (source, before, after) == (answer.source, answer.before, answer.after):
        return answer
    return StandAlone(source=source, before=_IMPORT + before, after=after)


def _part(name: str, texts: Texts | None) -> Part:
    item = exercise_of(name)
    if texts is None:
        return borrowed_or_missing(item, _WHY)
    answer = StandAlone(*texts)
    public_cases(item.id)  # its careful part asks for them: not while the first packet waits
    return Part(item, load_answer(item, answer), "yours", _WHY, answer)


def _replaced(text: str, parts: Mapping[str, Parts]) -> str:
    """Return the text with other calls behind the names of parts; lines keep their numbers."""
    lines = text.encode().splitlines(keepends=True)
    try:
        statements = ast.parse(text).body
    except SyntaxError:  # for the router's process to tell
        return text
    for node in reversed(statements):
        match node:
            case ast.Assign(targets=[ast.Name(id=name)], value=ast.Call() as call) if name in parts:
                first, last = call.lineno - 1, (call.end_lineno or call.lineno) - 1
                new = f"{_CALL}({_sources(parts[name])!r}{chr(10) * (last - first)})"
                end = lines[last][call.end_col_offset or 0 :]
                lines[first : last + 1] = [lines[first][: call.col_offset] + new.encode() + end]
    return b"".join(lines).decode()


def _sources(parts: Parts) -> dict[str, Texts | None]:
    return {
        part.exercise.function: None
        if part.answer is None
        else (part.answer.source, part.answer.before, part.answer.after)
        for part in parts
    }
