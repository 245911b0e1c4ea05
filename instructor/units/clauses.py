"""What a contract says, clause by clause, each with an answer that breaks it and nothing else.

A check is fair if every clause has a case that fails only where it is broken, and no case asks
for what no clause says. So each unit lists its clauses (`unit_NN/clauses.py`), in the words
of the workbook, and `tests/units/test_contracts_clause_by_clause.py` holds both.
"""

__all__ = ["Clause", "Contract", "contract_of"]

import importlib
from dataclasses import dataclass

from course_lib.exercises.registry import exercise
from instructor.units.items import Function


@dataclass(frozen=True, slots=True)
class Clause:
    """One thing that a contract asks for.

    `words` stand in the exercise's text or in its function's contract. `aspect` is the one
    whose points it costs to break the clause; empty for a clause without which no case can be
    right. `broken` keeps all other clauses. `also` breaks it in other ways, in cases where
    `broken` may be right.
    """

    words: str
    aspect: str
    broken: Function
    also: tuple[Function, ...] = ()


@dataclass(frozen=True, slots=True)
class Contract:
    """All clauses of an exercise, and what else its contract says that asks for nothing.

    `says_only` are words that describe inputs, name sources or give examples.
    """

    clauses: tuple[Clause, ...]
    says_only: tuple[str, ...] = ()


def contract_of(exercise_id: str) -> Contract:
    """Return the contract of an exercise; raise `LookupError` if its unit lists none."""
    unit = exercise(exercise_id).unit[:2]
    module = importlib.import_module(f"{__package__}.unit_{unit}.clauses")
    contract: Contract = module.CLAUSES[exercise_id]
    return contract
