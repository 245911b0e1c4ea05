"""Which units there are, and in which order: each says so itself, in its `unit.toml`.

| key | what it says | without it |
|---|---|---|
| `order` | the place in the course; 3.5 is between 3 and 4 | the number of the folder |
| `taught` | `false` leaves the unit out | it is taught |
| `prerequisites` | units that come before it, if they are taught | none |
"""

__all__ = ["UnitOrderError", "units_in_order"]

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

FACTS = "unit.toml"


class UnitOrderError(ValueError):
    """A `unit.toml` does not say what it must, or two of them contradict; the text names them."""


def units_in_order(folder: Path) -> tuple[str, ...]:
    """Return the names of the units that are taught, by their folders below this one.

    Raises `UnitOrderError` where one comes before another that it needs.
    """
    facts = {path.parent.name: _facts(path) for path in folder.glob(f"*/{FACTS}")}
    taught = [name for name, said in facts.items() if said.get("taught", True) is not False]
    places = {name: _place(folder / name / FACTS, facts[name]) for name in taught}
    order = sorted(taught, key=lambda name: (places[name], name))
    for at, name in enumerate(order):
        for need in facts[name].get("prerequisites", ()):
            if need in order[at:]:
                raise UnitOrderError(
                    f"{folder / name / FACTS} puts {name} before {need}, which it needs. Give one "
                    "of them another `order`, or take it out of its `prerequisites`."
                )
    return tuple(order)


def _facts(path: Path) -> Mapping[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as problem:
        raise UnitOrderError(f"{path} is no TOML: {problem}") from problem


def _place(path: Path, facts: Mapping[str, Any]) -> float:
    number = path.parent.name.partition("-")[0]
    place = facts.get("order", int(number) if number.isdecimal() else None)
    if isinstance(place, bool) or not isinstance(place, int | float):
        raise UnitOrderError(
            f"{path}: order = {place!r} is no number. Write one, such as order = 3.5, or let the "
            "folder's name begin with a number."
        )
    return place
