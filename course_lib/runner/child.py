"""The clean process in which an answer runs: `python -I -m course_lib.runner.child`.

One request comes in on standard input: the source of the answer, the name to
call, and the arguments of each case. One line of JSON goes out for each case as
soon as it is known, so that an endless loop in the third case does not lose the
first two. Nothing secret is in here: the request holds inputs only, never what
is expected.

Whatever the answer prints goes to standard error, which nobody reads for marks.
"""

__all__ = ["main"]

import __future__

import importlib
import json
import opcode
import os
import sys
import types
from typing import Any

from course_lib.runner.drivers import DRIVERS
from course_lib.runner.lent import ArgumentChangedError
from course_lib.runner.out_of_reach import close_libraries
from course_lib.runner.plain_data import NotPlainError, decode, encode

ANSWER_FILE = "<your answer>"
OTHER_CELLS = "<your other cells>"
MESSAGE_LIMIT = 400
ANNOTATIONS = __future__.annotations.compiler_flag
try:
    LIMITS: Any = importlib.import_module("resource")
except ImportError:  # Windows has none
    LIMITS = None


def main() -> None:
    """Read one request, run every case, write one line for each, and go."""
    request = json.loads(_read_all(0))
    replies = _take_over_output()
    without = _set_limits(request)
    # From here on, what goes wrong is the answer's doing.
    _send(replies, {"ready": True, "without": without})
    close_libraries(request["may_use"])
    answer = _load(request, replies)
    if answer is not None:
        drive = DRIVERS[request["driver"]]
        for number, arguments in enumerate(request["cases"]):
            _send(replies, {"case": number, **_run_case(drive, answer, arguments)})
    os._exit(0)  # threads and exit handlers that the answer left behind do not matter


def _read_all(descriptor: int) -> bytes:
    chunks = []
    while chunk := os.read(descriptor, 1 << 16):
        chunks.append(chunk)
    return b"".join(chunks)


def _take_over_output() -> int:
    """Keep the real output for replies; prints of the answer go to standard error."""
    replies = os.dup(1)
    os.dup2(2, 1)
    nothing = os.open(os.devnull, os.O_RDONLY)
    os.dup2(nothing, 0)
    os.close(nothing)
    return replies


def _set_limits(request: dict[str, Any]) -> list[str]:
    """Limit this process and each that it starts; return the limits that this system lacks.

    A lower limit that stands already, of a shared machine say, stays.
    """
    without = []
    for kind, name, most in (
        ("RLIMIT_AS", "memory", request["memory_octets"]),
        ("RLIMIT_CPU", "processor time", request["processor_s"]),
        ("RLIMIT_FSIZE", "the size of files", request["file_octets"]),
        ("RLIMIT_CORE", "", 0),
    ):
        try:
            number = getattr(LIMITS, kind)
            hard = LIMITS.getrlimit(number)[1]
            least = most if hard == LIMITS.RLIM_INFINITY else min(most, hard)
            LIMITS.setrlimit(number, (least, least))
        except (AttributeError, ValueError, OSError):  # macOS refuses one of memory
            without.append(name)
    return [name for name in without if name]


def _load(request: dict[str, Any], replies: int) -> Any:
    """Run the answer's source and return the named thing, or report why not."""
    function = request["function"]
    module = types.ModuleType("__main__")
    sys.modules["__main__"] = module
    try:
        flags = 0
        for part, place in (
            ("before", OTHER_CELLS), ("source", ANSWER_FILE), ("after", OTHER_CELLS),
        ):  # fmt: skip
            code = compile(request[part], place, "exec", flags, dont_inherit=True)
            flags |= code.co_flags & ANNOTATIONS  # for all cells below, as in a notebook
            exec(code, module.__dict__)
    except BaseException as problem:
        _send(replies, {"load": _describe(problem)})
        return None
    answer = module.__dict__.get(function)
    if not callable(answer):
        what = "defines nothing" if answer is None else "defines something that cannot be called"
        _send(replies, {"load": {"raised": "missing", "message": f"{what} called {function}"}})
        return None
    _send(replies, {"load": None})
    return answer


def _run_case(drive: Any, answer: Any, arguments: list[Any]) -> dict[str, Any]:
    try:
        value = drive(answer, *[decode(argument) for argument in arguments])
    except ArgumentChangedError as change:
        return {"changed": str(change)}
    except BaseException as problem:
        return _describe(problem)
    try:
        return {"value": encode(value)}
    except NotPlainError as problem:
        return {"not_plain": str(problem)[:MESSAGE_LIMIT]}
    except BaseException as problem:  # an object that fights being read
        return {"not_plain": f"a value that raises {type(problem).__name__} when it is read"}


def _describe(problem: BaseException) -> dict[str, Any]:
    """Say what was raised, in plain data: its kinds, its text and its line."""
    line = problem.lineno if isinstance(problem, SyntaxError) else None
    on_purpose = False  # where a `raise` of the answer's own was the last thing that ran
    trace = problem.__traceback__
    while trace is not None:
        code = trace.tb_frame.f_code
        if code.co_filename == ANSWER_FILE:
            line = trace.tb_lineno
        on_purpose = (
            code.co_filename in (ANSWER_FILE, OTHER_CELLS)
            and code.co_code[trace.tb_lasti] == opcode.opmap["RAISE_VARARGS"]
        )
        trace = trace.tb_next
    try:
        told = problem.msg if isinstance(problem, SyntaxError) else str(problem)
        message = told[:MESSAGE_LIMIT]
    except BaseException:
        message = "(its message cannot be shown)"
    kinds = [kind.__name__ for kind in type(problem).__mro__]
    return {
        "raised": kinds[0], "kinds": kinds, "message": message, "line": line,
        "on_purpose": on_purpose,
    }  # fmt: skip


def _send(replies: int, message: dict[str, Any]) -> None:
    octets = json.dumps(message).encode() + b"\n"
    while octets:
        octets = octets[os.write(replies, octets) :]


if __name__ == "__main__":
    main()
