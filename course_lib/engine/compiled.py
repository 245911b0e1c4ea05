"""The one place that decides whether a loop runs as machine code or as plain Python.

The loops of this package are plain Python functions over numbers and arrays. `ready(loop)` returns
the same loop compiled by Numba, about a hundred times faster, with the same results to the last
bit. It returns the function itself, as it stands, if

* the environment variable HOP_BY_HOP_UNCOMPILED is set to anything but nothing or 0,
* the caller asks for it (`compiled=False`), or
* Numba is not there, or switched off by its own variable NUMBA_DISABLE_JIT.

`engine()` tells which of the two, and why. Numba is loaded at the first use and not on import.

Three things make it quick for a class:

* A loop's types are known beforehand: they are its annotations. So Numba compiles it once and
  keeps the result on disk for the next start, beside the source or in the user's cache folder.
  Where neither can be written, the loop is compiled anew at each start, and `prepare` says so.
* Rules that can be exchanged (which packet to drop, which queue is next) reach a loop as pointers
  to functions of a fixed type. A new rule takes 0.1 to 0.3 s; the loop stays as it was.
* `prepare` compiles beforehand what a workbook needs and reports each step.

A compiled loop lets go of the interpreter while it runs; so `experiments.sweeps` can run several
at a time.

Rules for whoever writes a loop: annotate everything; call only functions of this package or of the
same file; draw random numbers outside. What is kept bears the fingerprint of this package's source,
so after any change here everything is compiled anew.
"""

__all__ = [
    "CannotCompileError",
    "Engine",
    "Prepared",
    "engine",
    "helpers_of",
    "plain_function",
    "prepare",
    "ready",
]

import os
import time
from collections.abc import Callable, Iterable
from functools import cache, lru_cache
from hashlib import sha256
from inspect import isfunction
from itertools import chain
from pathlib import Path
from types import CellType, CodeType, FunctionType
from typing import Any, NamedTuple, TypeVar

from course_lib.engine.machine_types import function_type, takes_records
from course_lib.engine.step_limits import careful_compiler
from course_lib.engine.waiting_note import finish_first, silence, waiting_note

LOOPS = (
    "engine",
    "forwarding",
    "lookup",
    "queueing",
    "switching",
    "tcp",
)  # chapters with loops, and their helpers
HOMES = tuple(f"course_lib.{chapter}." for chapter in LOOPS)
_SWITCH = "HOP_BY_HOP_UNCOMPILED"
_KEPT = 128  # compiled functions; a student who edits a rule makes a new one each time

Function = TypeVar("Function", bound=Callable[..., Any])


class CannotCompileError(TypeError):
    """A function uses what machine code of this kind cannot do; the message says where."""


class Engine(NamedTuple):
    """Whether loops are compiled unless the caller says otherwise, and why."""

    compiled: bool
    reason: str


class Prepared(NamedTuple):
    """What `prepare` did: functions compiled now, functions fetched from disk, seconds, a note."""

    compiled: int
    fetched: int
    seconds: float
    note: str


class _Machine(NamedTuple):
    run: Callable[..., Any]
    fetched: bool
    note: str


@cache
def engine() -> Engine:
    """Return what this process uses, and why. Decided once, at the first use."""
    if os.environ.get(_SWITCH, "0") not in ("", "0"):
        return Engine(False, f"plain Python: {_SWITCH} is set")
    try:
        with waiting_note("Loading the compiler"), finish_first():
            import numba  # not at the top: loading it takes most of a second
    except ImportError as error:
        return Engine(False, f"plain Python: Numba cannot be loaded ({error})")
    if getattr(numba.config, "DISABLE_JIT", False):
        return Engine(False, "plain Python: NUMBA_DISABLE_JIT is set")
    return Engine(True, f"compiled by Numba {numba.__version__}")


def ready(function: Function, kind: Any = None, *, compiled: bool | None = None) -> Function:
    """Return the function to call: machine code, or `function` itself.

    `kind` is the `Callable[...]` type of an exchangeable rule; a loop's own annotations are used
    if there is none. In what students wrote, an index outside its array raises an IndexError,
    where it would otherwise destroy other data; and nothing of it is kept on disk.
    Raises CannotCompileError.
    """
    if not (engine().compiled if compiled is None else compiled):
        return function
    if not engine().compiled:
        raise RuntimeError(f"cannot compile here: {engine().reason}")
    run: Function = _machine(function, kind).run  # type: ignore[assignment]
    return run


def prepare(
    functions: Iterable[tuple[Callable[..., Any], Any]], tell: Callable[[str], None] | None = None
) -> Prepared:
    """Make machine code of all `functions` (each with its `kind` or None); tell how it goes on.

    `tell` gets one line before each step, and a last one; `print` will do.
    """
    say = tell or (lambda step: None)
    start = time.perf_counter()
    work, made = list(functions), []
    with silence():
        say("Loading the compiler.")
        if not engine().compiled:
            say(engine().reason)
            return Prepared(0, 0, time.perf_counter() - start, engine().reason)
        for number, (function, kind) in enumerate(work, start=1):
            step = f"Preparing {number} of {len(work)}: {function.__name__}"
            say(f"{step}. The first time takes longer.")
            made.append(_machine(function, kind))
    seconds = time.perf_counter() - start
    note = next((machine.note for machine in made if machine.note), "")
    fetched = sum(machine.fetched for machine in made)
    done = f"Ready after {seconds:.1f} s, {fetched} of {len(made)} from an earlier start."
    say(f"{done} {note}".rstrip())
    return Prepared(len(made) - fetched, fetched, seconds, note)


@lru_cache(maxsize=_KEPT)
def _machine(function: Callable[..., Any], kind: Any) -> _Machine:
    """Compile for the types in the annotations, or fetch what an earlier start has kept."""
    from numba.core.errors import NumbaError, UnsupportedBytecodeError

    signature = function_type(kind or function)
    machines: list[_Machine] = []
    doing = f"Preparing {getattr(function, '__name__', function)} for its first run"
    try:
        with waiting_note(doing, lambda: machines[0].note), finish_first():
            machines.append(_kept_or_not(function, signature))
    except (NumbaError, UnsupportedBytecodeError, TypeError, NotImplementedError) as error:
        raise CannotCompileError(_explain(function, error)) from error
    return machines[0]


def _kept_or_not(function: Callable[..., Any], signature: Any) -> _Machine:
    import numba

    form = getattr(function, "machine_form", function)  # see `rules.OwnRule`
    # A loop over records makes no arrays. Not to count who holds which makes it 8 times as fast.
    options: dict[str, Any] = {"_nrt": form is not function or not takes_records(function)}
    is_ours = form is function and str(form.__module__).startswith(HOMES)
    options["boundscheck"] = not is_ours
    if form is not function:
        options["pipeline_class"] = careful_compiler()
    twin = _with_compiled_helpers(form, options, {form: None})
    if not is_ours:
        return _Machine(numba.njit(signature, **options)(twin), False, "")
    twin.__qualname__ += f"-{_fingerprint()}"  # Numba makes the file's name of it
    options["nogil"] = True  # so that several runs can go on at a time, in threads
    try:
        run = numba.njit(signature, cache=True, **options)(twin)
        return _Machine(run, bool(run.stats.cache_hits), "")
    except (RuntimeError, OSError) as error:  # no place to keep it, or a full disk
        run = numba.njit(signature, **options)(twin)
        hint = "Set NUMBA_CACHE_DIR to a folder that can be written"
        return _Machine(run, False, f"Not kept for the next start: {error}. {hint}.")


@cache
def _fingerprint() -> str:
    library = Path(__file__).parents[1]
    sources = sorted(path for chapter in LOOPS for path in (library / chapter).glob("*.py"))
    return sha256(b"".join(source.read_bytes() for source in sources)).hexdigest()[:12]


def helpers_of(function: FunctionType) -> dict[str, FunctionType]:
    """Return the functions of the same file or notebook, or of this package, that it mentions."""
    code, homes = function.__code__, (str(function.__module__), *HOMES)
    inside = (part.co_names for part in code.co_consts if isinstance(part, CodeType))
    things = {name: function.__globals__.get(name) for name in chain(code.co_names, *inside)}
    for name, cell in zip(code.co_freevars, function.__closure__ or (), strict=True):
        things[name] = cell.cell_contents
    plain = {name: plain_function(thing) for name, thing in things.items()}
    return {
        name: thing
        for name, thing in plain.items()
        if isfunction(thing) and str(thing.__module__).startswith(homes)
    }


def plain_function(thing: Any) -> Any:
    """Return what is inside a function that a student has given to Numba; all else as it is."""
    return getattr(thing, "py_func", thing)


def _with_compiled_helpers(
    function: Callable[..., Any], options: dict[str, Any], made: dict[Any, Any]
) -> FunctionType:
    """Return a twin of `function` that calls compiled twins of its helpers, each `made` once."""
    import numba

    if not isinstance(function, FunctionType):
        raise TypeError(f"{function!r} is not a plain function, made with `def`")
    twins = {}
    for name, helper in helpers_of(function).items():
        if helper not in made:
            made[helper] = None  # being made: whoever calls it now is called by it
            made[helper] = numba.njit(**options)(_with_compiled_helpers(helper, options, made))
        if made[helper] is None:
            raise TypeError(f"{name} calls itself, directly or by others")
        twins[name] = made[helper]
    enclosed = zip(function.__code__.co_freevars, function.__closure__ or (), strict=True)
    twin = FunctionType(
        function.__code__,
        {**function.__globals__, **twins},
        function.__name__,
        function.__defaults__,
        tuple(CellType(twins[name]) if name in twins else cell for name, cell in enclosed),
    )
    twin.__module__, twin.__qualname__ = function.__module__, function.__qualname__
    return twin


def _explain(function: Callable[..., Any], error: Exception) -> str:
    name = getattr(function, "__name__", repr(function))
    return (
        f"{name} cannot be compiled. Rules and loops may use numbers, the arrays they are given, "
        "`math`, and functions of the same file or notebook that keep to that; no lists of mixed "
        "things, no text, no files. To run it as it stands, pass compiled=False. "
        f"The cause: {error}"
    )
