"""A stage from source text, in a router's list of stages: put in, and taken out again.

The stage that was put in remembers what it replaced. So nobody has to keep a list of what was
changed, and a router can be steered by somebody who was not there when it began.
"""

__all__ = ["OwnStage", "put_back", "swap"]

import itertools
from collections.abc import Callable
from typing import Any

from course_lib.forwarding.verdicts import name_of
from course_lib.headers.errors import Reason
from course_lib.steering.changes import PutBackStage, StagePlace, SteeringError, SwapStage

SOURCE = "<your stage>"


class OwnStage:
    """A stage of somebody's own, and the one in whose place it stands; None: in nobody's.

    In all else it is that stage: it prints like it, and keeps packets back if that one does.
    """

    def __init__(self, stage: Callable[[Any], Any], name: str, replaced: Any = None) -> None:
        self.stage, self.__name__, self.replaced = stage, name, replaced

    def __call__(self, packet: Any) -> Any:
        """Leave it to the stage."""
        return self.stage(packet)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.stage, name)

    def __repr__(self) -> str:
        return str(self.__name__)


def swap(router: object, change: SwapStage) -> None:
    """Put in a stage; raises `SteeringError`, and changes nothing, if that can't be."""
    stages = _stages(router)
    old = _called(stages, change.name)
    instead = change.place is StagePlace.INSTEAD
    taken = {name_of(stage) for stage in stages if not (instead and stage is old)}
    numbered = (f"{change.function} {number}" for number in itertools.count(2))
    names = itertools.chain([change.function], numbered)
    name = next(each for each in names if each not in taken)
    new = OwnStage(_made(change), name, old if instead else None)
    around = {
        StagePlace.INSTEAD: [new], StagePlace.BEFORE: [new, old], StagePlace.AFTER: [old, new]
    }  # fmt: skip
    _replace(router, old, around[change.place])
    if instead:
        _give_up_what_waits(router, old)


def put_back(router: object, change: PutBackStage) -> None:
    """Take a stage out; raises `SteeringError` if it is none that was put in."""
    own = _called(_stages(router), change.name)
    if not isinstance(own, OwnStage):
        raise SteeringError(
            f"the stage {change.name} was there from the beginning: nothing can be put back for it"
        )
    _replace(router, own, [] if own.replaced is None else [own.replaced])
    _give_up_what_waits(router, own)


def _stages(router: object) -> list[Any]:
    stages = getattr(router, "stages", None)
    if not isinstance(stages, list) or not stages:
        raise SteeringError(
            "this router has no list called stages, so no stage can be swapped while it runs"
        )
    return stages


def _called(stages: list[Any], name: str) -> Any:
    for stage in stages:
        if name_of(stage) == name:
            return stage
    names = ", ".join(map(name_of, stages))
    raise SteeringError(f"this router has no stage called {name}; it has {names}")


def _made(change: SwapStage) -> Callable[[Any], Any]:
    """Run the source, and return what it calls `function`."""
    space: dict[str, Any] = {"__name__": "your_stage"}
    try:
        exec(compile(change.source, SOURCE, "exec", dont_inherit=True), space)
        stage = space.get(change.function)
        if isinstance(stage, type):
            stage = stage()
    except SyntaxError as problem:
        where = f"line {problem.lineno}: {problem.msg}"
        raise SteeringError(f"your stage is not Python: {where}") from None
    except (Exception, SystemExit) as problem:
        told = f"{type(problem).__name__}: {problem}"
        raise SteeringError(f"your stage failed before its first packet: {told}") from problem
    if stage is None:
        raise SteeringError(f"nothing is called {change.function} in the source of your stage")
    if not callable(stage):
        raise SteeringError(f"{change.function} cannot be called with a packet: it is no function")
    return stage  # type: ignore[no-any-return]  # what it returns is for the fast path to check


def _replace(router: object, old: Any, new: list[Any]) -> None:
    """Put `new` where `old` stands, in both lists that a router of the library has.

    In place: others hold these lists too.
    """
    for stages in (_stages(router), getattr(router, "own_stages", [])):
        stages[:] = [each for stage in stages for each in (new if stage is old else [stage])]


def _give_up_what_waits(router: object, stage: Any) -> None:
    """Count what a stage still held as dropped: nobody will ever ask it again."""
    depths = getattr(stage, "depths", None)
    dropped = getattr(getattr(router, "counters", None), "dropped", None)
    if depths is not None and dropped is not None:
        dropped[Reason.STAGE_FAILED] += sum(depths().values())
