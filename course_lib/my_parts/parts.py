"""What `my_parts` returns: functions by their names, and a table that says whose each one is."""

__all__ = ["Part", "Parts", "Whose"]

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, NamedTuple

from course_lib.exercises.display import Panel, Row
from course_lib.exercises.registry import Exercise
from course_lib.my_parts.careful_part import Function
from course_lib.runner.runner import StandAlone

Whose = Literal["yours", "borrowed", "missing"]


class Part(NamedTuple):
    """One function of a router: what it answers, whose it is, and why; `answer` if it is yours."""

    exercise: Exercise
    function: Function
    whose: Whose
    why: str
    answer: StandAlone | None = None


@dataclass(frozen=True)  # with slots too, Python 3.11 trips over its own error message
class Parts:
    """Some parts of a router. `parts.fold` is a function, `parts["fold"]` tells about it.

    `notes` say which workbooks were read, and when they were saved.
    """

    _parts: tuple[Part, ...]
    notes: tuple[tuple[str, str], ...] = ()

    def __getitem__(self, name: str) -> Part:
        """Return what is known about a part; raise `KeyError` for one that was not asked for."""
        for part in self._parts:
            if part.exercise.function == name:
                return part
        raise KeyError(self._unknown(name))

    def __getattr__(self, name: str) -> Function:
        """Return a part's function; raise `AttributeError` for one that was not asked for."""
        for part in self._parts:
            if part.exercise.function == name:
                return part.function
        raise AttributeError(self._unknown(name), name=name, obj=self)

    def __iter__(self) -> Iterator[Part]:
        return iter(self._parts)

    def __len__(self) -> int:
        return len(self._parts)

    def __dir__(self) -> list[str]:
        return ["notes", *(part.exercise.function for part in self._parts)]

    def __str__(self) -> str:
        return self._panel().text()

    __repr__ = __str__

    def _repr_mimebundle_(self, **_: object) -> dict[str, str]:
        return self._panel()._repr_mimebundle_()

    def _panel(self) -> Panel:
        rows = [
            Row((f"{part.exercise.function} ({part.exercise.id})", part.whose, part.why))
            for part in self._parts
        ]
        return Panel(
            _heading([part.whose for part in self._parts]),
            self.notes,
            columns=("part", "whose", "why"),
            table=tuple(rows),
        )

    def _unknown(self, name: str) -> str:
        known = ", ".join(part.exercise.function for part in self._parts)
        return f"no part called {name!r} was asked for, only {known}: name it in my_parts(...)"


def _heading(whose: list[Whose]) -> str:
    """Count the parts, as in "Parts: 1 yours, 2 borrowed"."""
    counts = [f"{whose.count(one)} {one}" for one in dict.fromkeys(whose)]
    return "Parts: " + (", ".join(counts) or "none")
