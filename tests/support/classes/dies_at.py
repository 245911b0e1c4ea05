"""Run `hopbyhop` and end it with SIGKILL right before a function is called for the Nth time.

    python dies_at.py '[["MODULE", "FUNCTION", N], ...]' ARGUMENT ...

It is run once for each moment, in a process of its own, forked from one that has everything
imported; how they ended is the last line on standard error. FUNCTION may be a method, written
`Class.method`. Nothing is cleaned up: that is the point.
The walls of the sandbox are not tried first, which takes longer than all the rest.
"""

import importlib
import json
import os
import signal
import sys

import nbgrader.preprocessors  # noqa: F401 - so that no fork has to

from course_lib.cli import main
from instructor.class_run import grade_class  # noqa: F401 - the same
from instructor.grading.sandbox import sandboxed_run


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


def ends(moments, arguments):
    """Run the command once for each moment, each time in a new process; return how each ended."""
    statuses = []
    for moment in moments:
        pid = os.fork()
        if pid == 0:
            arm(*moment)
            os._exit(main(arguments))
        statuses.append(os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]))
    return statuses


if __name__ == "__main__":
    sandboxed_run.probe = lambda sandbox: ()
    statuses = ends(json.loads(sys.argv[1]), sys.argv[2:])
    sys.stderr.write(json.dumps(statuses))
