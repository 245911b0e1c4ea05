"""Which names a statement changes in place, through all the functions that it calls.

The rule. A statement changes `rows` where it

* sets a part of it (`rows[3] = x`, `rows.hop = x`),
* calls a method on it that changes (`rows.append(x)`, wherever in the statement that stands),
* hands it to a function that changes what it is given,
* does any of this to a second name of a part (`for row in rows: row["hop"] = x`, `a = rows[0]`),
* or calls a function that changes it as a global name.

The student's own functions, methods, lambdas and decorators are judged by their bodies and by what
they call in turn. A library's method counts by its name, or where its value is thrown away. So
`print(rows)`, `len(rows)`, `check(rows)` and `rows.index(3)` only show something, and stay behind.

Calls of the answer itself are trials, never changes: an answer that remembers results starts fresh.
Not seen: an object that keeps what it was given, and changes it by a name of its own.
"""

__all__ = ["names_changed"]

import ast
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from course_lib.exercises.cells.changing_calls import (
    CHANGES_PYTHON,
    changes_given,
    changes_module,
    changes_owner,
)
from course_lib.exercises.cells.function_bodies import Body
from course_lib.exercises.cells.names_in_code import Call, Deeds
from course_lib.exercises.cells.statements import Statement

Groups = Mapping[str, frozenset[str]]


def names_changed(statements: Sequence[Statement], answer: str) -> list[frozenset[str]]:
    """Return for each statement the names that it binds or changes; `answer` changes nothing."""
    effects = _Effects(statements, answer)
    changed: list[frozenset[str]] = []
    there: set[str] = set()
    for one in statements:
        direct = effects.changed(one.deeds)
        # A part cannot be changed by a name that is given to it only later.
        shared = frozenset[str]().union(*map(effects.second_names, direct)) & there
        changed.append(one.may_bind | direct | shared)
        there |= one.may_bind
    return changed


@dataclass(slots=True)
class _Effect:
    """What calling a function changes: global names, what it is given, the object it belongs to."""

    outside: frozenset[str] = frozenset()
    given: bool = False
    owner: bool = False


class _Effects:
    """The effects of all functions of the cells, followed until nothing new comes out."""

    def __init__(self, statements: Sequence[Statement], answer: str) -> None:
        self._answer = answer
        self._bodies: defaultdict[str, list[Body]] = defaultdict(list)
        self._modules: set[str] = set()
        self._imported: set[str] = set()
        self._made: set[str] = set()  # names of what a call returned
        for one in statements:
            for name, body in one.bodies:
                self._bodies[name].append(body)
            if isinstance(one.node, ast.Import):
                self._modules |= one.may_bind
            if isinstance(one.node, ast.Import | ast.ImportFrom):
                self._imported |= one.may_bind
            if _is_made(one.node):
                self._made |= one.may_bind
        self._bodies.pop(answer, None)
        self._shared = _groups(_shared(one) for one in statements)
        self._living = _groups(self._living_on(one) for one in statements)
        self._effects = {name: _Effect() for name in self._bodies}
        self._settle()

    def second_names(self, name: str) -> frozenset[str]:
        """Return all names that share a part with this one; a module is part of nothing."""
        return self._shared.get(name, frozenset()) - self._modules

    def changed(self, done: Deeds) -> frozenset[str]:
        """Return the names that code changes, those of which they name a part included."""
        changed = set(done.sets_part).union(*map(self._changed_by, done.calls))
        for name in done.handed_on & self._effects.keys():
            changed |= self._effects[name].outside
        waiting = list(changed)
        while waiting:
            more = done.parts_of.get(waiting.pop(), frozenset()) - changed - self._modules
            changed |= more
            waiting += more
        return frozenset(changed - {""})

    def _settle(self) -> None:
        callers: defaultdict[str, set[str]] = defaultdict(set)
        for name, bodies in self._bodies.items():
            for body in bodies:
                for key in {*map(self._key, body.deeds.calls), *body.deeds.handed_on}:
                    callers[key].add(name)
        waiting = list(self._bodies)
        while waiting:
            name = waiting.pop()
            effect = self._effect(name)
            if effect != self._effects[name]:
                self._effects[name] = effect
                waiting += sorted(callers[name])

    def _effect(self, name: str) -> _Effect:
        effect = _Effect()
        for body in self._bodies[name]:
            changed = self.changed(body.deeds)
            effect.outside |= (changed - body.parameters - body.local) | body.binds_outside
            effect.given |= bool(changed & (body.parameters - {body.owner}))
            effect.owner |= body.owner in changed
        return effect

    def _changed_by(self, call: Call) -> set[str]:
        if call.function == CHANGES_PYTHON:
            return {CHANGES_PYTHON}
        if not call.is_method and call.function == self._answer:
            return set()
        key = self._key(call)
        known = self._effects.get(key)
        effect = known or _Effect()
        changed = set(effect.outside)
        if effect.owner and key.startswith("."):  # not where the object is only made
            changed.add(call.on if call.is_method else call.function)
        if effect.given or self._is_given_changed(call, known):
            changed |= call.given
        if call.is_method and self._is_owner_changed(call, known):
            changed.add(call.on)
        if not call.is_method:
            changed |= self._living.get(call.function, frozenset())
        return changed

    def _key(self, call: Call) -> str:
        if call.is_method:
            return f".{call.function}"
        return ".__call__" if call.function in self._made else call.function

    def _is_given_changed(self, call: Call, known: _Effect | None) -> bool:
        of_library = not call.is_method or call.on in self._modules
        return known is None and of_library and changes_given(call.function)

    def _is_owner_changed(self, call: Call, known: _Effect | None) -> bool:
        if call.on in self._modules:
            return call.alone and changes_module(call.function)
        alone = call.alone and known is None and call.on not in self._imported
        return changes_owner(call.function, alone=alone)

    def _living_on(self, one: Statement) -> Groups:
        """Return the names of functions that share what lives on from one call to the next."""
        match one.node:
            case ast.Assign(value=ast.Call(func=ast.Name(id=maker))):
                if any(body.keeps for body in self._bodies.get(maker, ())):
                    return dict.fromkeys(one.may_bind, one.may_bind)
        return {}


def _is_made(node: ast.stmt) -> bool:
    return isinstance(node, ast.Assign) and isinstance(node.value, ast.Call)


def _shared(one: Statement) -> Groups:
    """Return second names that a statement gives, and what they share a part with."""
    if not isinstance(one.node, ast.Assign | ast.AnnAssign):
        return {}
    parts_of = one.deeds.parts_of
    inside = parts_of.keys() - one.may_bind  # names of comprehensions
    return {name: parts_of[name] - inside for name in parts_of.keys() & one.may_bind}


def _groups(links: Iterable[Groups]) -> Groups:
    """Return for each name all names that links join it with."""
    beside: defaultdict[str, set[str]] = defaultdict(set)
    for one, others in (link for some in links for link in some.items()):
        for other in others:
            beside[one].add(other)
            beside[other].add(one)
    groups: dict[str, frozenset[str]] = {}
    for name in beside:
        if name not in groups:
            group, waiting = {name}, [name]
            while waiting:
                more = beside[waiting.pop()] - group
                group |= more
                waiting += more
            groups.update(dict.fromkeys(group, frozenset(group)))
    return groups
