"""End a rule that would never come to an end: count its steps, and stop when there are too many.

A loop in machine code cannot be interrupted, and a thread cannot be ended from outside. So each
loop has to look for itself:

* In machine code a *pass* through a loop is a step. `careful_compiler` is Numba's with one stage
  more, which calls `count` at the head of each loop (Numba's manual, "Customizing the Compiler").
* In plain Python each *line* is a step, also one that is run again. `sys.settrace` tells a
  `StepCounter` of them, so that it also knows the line in which a rule returned.

A pass takes at least one line: what is too much for machine code is too much for plain Python as
well, where its line is found.

Compiled code counts on `_BOARD`, a row that stays where it is for good. Runs in several threads
share it, so that a loop without end in one of them ends, at the latest, when the others are over.
What Python does within one step cannot be counted: `sum(itertools.count())`, or a long sleep. Nor
can plain Python end a loop whose bare `except:` catches what a helper's loop was ended with.
"""

# mypy: disable-error-code="no-untyped-call"
# (Numba's compiler, whose stages are used here, has no annotations.)

__all__ = [
    "STEPS",
    "RunStoppedError",
    "StepCounter",
    "TooManyStepsError",
    "begin",
    "careful_compiler",
    "stop_compiled_runs",
]

import dis
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from types import CodeType, FrameType
from typing import Any, Self

import numpy as np

STEPS = 2_000_000  # in one call: some milliseconds compiled, about a second in plain Python
_TAKEN, _STOP = range(2)  # places on the board: steps of this call; is everybody to stop?
_BOARD = np.zeros(2, np.int64)


class TooManyStepsError(BaseException):
    """No `Exception`, so that a rule's own `except Exception` lets it through."""


class TooManyPassesError(Exception):
    """The same in machine code, where there is nothing but `Exception`."""


class RunStoppedError(Exception):
    """Somebody wants the runs of compiled rules to end."""


class StepCounter:
    """Counts the steps of one call in plain Python; made for `sys.settrace`."""

    def __init__(self, code: CodeType) -> None:
        """Take the code of the function that is called."""
        self._code = code
        self._taken = 0
        self.returned_in = 0  # the line of its `return`

    def __call__(self, frame: FrameType, event: str, _: object) -> Self:
        """Count an event of `sys.settrace`."""
        self._taken += 1
        if event == "call":
            frame.f_trace_opcodes = _marks_time(frame.f_code)
        elif event == "return" and frame.f_code is self._code:
            self.returned_in = frame.f_lineno
        if self._taken > STEPS:
            # End it where a loop goes back: there no `try` inside the loop can catch this and go
            # on. Not every Python tells of instructions from here on; if not, end it anyhow.
            frame.f_trace_opcodes = True
            if self._taken > 2 * STEPS or (event == "opcode" and _goes_back(frame)):
                raise TooManyStepsError
        return self


@contextmanager
def stop_compiled_runs() -> Iterator[None]:
    """Let runs of compiled rules end, at the next call, for as long as the block lasts."""
    _BOARD[_STOP] = 1
    try:
        yield
    finally:
        _BOARD[_STOP] = 0


@cache
def begin() -> Callable[[], None]:
    """Return a function for compiled code: call it before each call of a rule."""
    board = _board()

    def begin_a_call() -> None:
        board()[_TAKEN] = 0
        if board()[_STOP] != 0:
            raise RunStoppedError

    return begin_a_call


@cache
def careful_compiler() -> Any:
    """Return Numba's compiler with one stage more: it has every pass through a loop counted."""
    from numba import njit
    from numba.core import ir
    from numba.core.analysis import compute_cfg_from_blocks
    from numba.core.compiler import CompilerBase, DefaultPassBuilder
    from numba.core.compiler_machinery import FunctionPass, register_pass
    from numba.core.untyped_passes import InlineClosureLikes

    board = _board()

    @njit
    def count() -> None:
        board()[_TAKEN] += 1
        if board()[_TAKEN] > STEPS:
            raise TooManyPassesError

    @register_pass(mutates_CFG=False, analysis_only=False)
    class CountPasses(FunctionPass):
        _name = "count_passes"

        def __init__(self) -> None:
            FunctionPass.__init__(self)

        def run_pass(self, state: Any) -> bool:
            code = state.func_ir
            for loop in compute_cfg_from_blocks(code.blocks).loops().values():
                head = code.blocks[loop.header]
                called, answer = (
                    ir.Var(head.scope, f"${name}.{loop.header}", head.loc)
                    for name in ("count", "counted")
                )
                values = ir.Global("count", count, head.loc), ir.Expr.call(called, (), (), head.loc)
                for place, (name, value) in enumerate(zip((called, answer), values, strict=True)):
                    head.body.insert(place, ir.Assign(value, name, head.loc))
                    code._definitions[name.name] = [value]
            return True

    class Careful(CompilerBase):
        def define_pipelines(self) -> list[Any]:
            stages = DefaultPassBuilder.define_nopython_pipeline(self.state)
            # After loops in brackets, [x for x in row], have become loops like the others.
            stages.add_pass_after(CountPasses, InlineClosureLikes)
            stages.finalize()
            return [stages]

    return Careful


@cache
def _board() -> Any:
    """Return a function for compiled code that gives the board itself, and not a copy."""
    from numba import carray, njit, types  # type: ignore[attr-defined]
    from numba.extending import intrinsic

    address, length = _BOARD.ctypes.data, len(_BOARD)

    @intrinsic
    def pointer(context: Any, number: Any) -> Any:
        def machine_code(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
            return builder.inttoptr(arguments[0], context.get_value_type(signature.return_type))

        pointer_type: Any = types.CPointer  # has no annotations
        return pointer_type(types.int64)(number), machine_code

    return njit(lambda: carray(pointer(address), length))  # type: ignore[call-arg]


@cache
def _marks_time(code: CodeType) -> bool:
    """Return True if a jump leads to itself, as in `while True: pass`: no line is told of then."""
    jumps = (step for step in dis.get_instructions(code) if "JUMP" in step.opname)
    return any(jump.argval == jump.offset for jump in jumps)


def _goes_back(frame: FrameType) -> bool:
    return "BACKWARD" in dis.opname[frame.f_code.co_code[frame.f_lasti]]
