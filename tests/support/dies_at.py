"""Run `hopbyhop` and end it with SIGKILL right before a function is called for the Nth time.

    python dies_at.py MODULE FUNCTION N ARGUMENT ...

FUNCTION may be a method, written `Class.method`. Nothing is cleaned up: that is the point.
"""

import importlib
import os
import signal
import sys

from course_lib.cli import main


def arm(module, function, number):
    """Replace a function by one that counts its calls and ends the process at the right one."""
    holder = importlib.import_module(module)
    *outer, name = function.split(".")
    for part in outer:
        holder = getattr(holder, part)
    real = getattr(holder, name)
    calls = 0

    def counted(*given, **named):
        nonlocal calls
        calls += 1
        if calls == number:
            os.kill(os.getpid(), signal.SIGKILL)
        return real(*given, **named)

    setattr(holder, name, counted)


if __name__ == "__main__":
    arm(sys.argv[1], sys.argv[2], int(sys.argv[3]))
    sys.exit(main(sys.argv[4:]))
