"""Let Ctrl-C, or "interrupt" in a notebook, end a run of compiled code.

Python handles signals between two of its own steps, and compiled code takes none: a run would go
on to its end. So the code that is put around a student's rule looks itself, from time to time, by
the functions that Python has for such code (C API, "Exception handling" and "Thread state and the
global interpreter lock"). Only the main thread looks, since signals arrive there alone.
"""

__all__ = ["InterruptedRunError", "compiled_look"]

import ctypes
import threading
from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np

from course_lib.engine.machine_types import Counts

_LOOK_EVERY = 4096  # steps; a look costs as much as some packets


class InterruptedRunError(Exception):
    """Ctrl-C was pressed. Compiled code can raise no KeyboardInterrupt, which is no Exception."""


def compiled_look() -> Callable[[Counts], None]:
    """Return a function for compiled code: it adds a counter's steps, and looks if it is time.

    It is made once, in 0.1 s. Asked for outside the main thread, it gives one that never looks.
    """
    return _compiled_look(threading.current_thread() is threading.main_thread())


@cache
def _compiled_look(at_main: bool) -> Callable[[Counts], None]:
    from numba import carray, njit, types  # type: ignore[attr-defined]

    pending = _c("PyErr_CheckSignals", ctypes.c_int)
    forget = _c("PyErr_Clear", None)
    lock, unlock = (
        _c("PyGILState_Ensure", ctypes.c_int),
        _c("PyGILState_Release", None, ctypes.c_int),
    )
    this_thread = _c("PyGILState_GetThisThreadState", ctypes.c_ssize_t)
    main, address, every = this_thread() if at_main else -1, _steps().ctypes.data, _LOOK_EVERY
    pointer = _pointer_to_counts()

    def look(counter: Counts) -> None:
        sum_of_steps = carray(pointer(address), 1)
        sum_of_steps[0] += counter[0] + 32  # a call without loops is some steps too
        if sum_of_steps[0] < every or this_thread() != main:
            return
        sum_of_steps[0] = 0
        held = lock()
        interrupted = pending() != 0
        if interrupted:
            forget()
        unlock(held)
        if interrupted:
            raise InterruptedRunError

    compiled: Callable[[Counts], None] = njit(types.void(types.int64[::1]))(look)
    return compiled


@cache
def _steps() -> Counts:
    """Return the sum of steps since the last look. It stays for good, and so does its address."""
    return np.zeros(1, np.int64)


def _c(name: str, gives: Any, *takes: Any) -> Any:
    return ctypes.CFUNCTYPE(gives, *takes)((name, ctypes.pythonapi))


def _pointer_to_counts() -> Any:
    """Return a function for compiled code that makes a pointer of an address."""
    from numba import types
    from numba.extending import intrinsic

    @intrinsic
    def pointer(context: Any, address: Any) -> Any:
        def machine_code(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
            return builder.inttoptr(arguments[0], context.get_value_type(signature.return_type))

        pointer_type: Any = types.CPointer  # has no annotations
        return pointer_type(types.int64)(address), machine_code

    return pointer
