"""Python as it is on a system that lacks what Linux has: run something as if on one.

    python lacking_system.py LACKS PROGRAM [ARGUMENT ...]

LACKS names one of `SYSTEMS`. What such a system lacks is taken out of this process and, by the
stand-in for Python that `sys.executable` then is, out of all that are started. Then PROGRAM runs: a
file, or `-m` and a module. This is no other system: paths, processes and pipes are Linux's still.
"""

import builtins
import os
import runpy
import select
import signal
import sys
import tempfile
from pathlib import Path

NO_SIGNALS = (
    *("SIGALRM", "SIGVTALRM", "SIGPROF", "ITIMER_REAL", "ITIMER_VIRTUAL", "ITIMER_PROF"),
    *("setitimer", "getitimer", "pthread_sigmask", "alarm", "pause"),
)
NO_PROCESSES = (
    *("fork", "forkpty", "killpg", "setsid", "getpgid", "setpgid", "register_at_fork", "geteuid"),
    *("sched_getaffinity", "sched_setaffinity", "sched_yield", "fchmod", "chroot", "wait4"),
)
# What Python's documentation marks as not there on Windows, as far as it can be taken away while
# its own library goes on; and what macOS lacks or refuses (setrlimit(2) there: RLIMIT_AS is kept in
# name only, as reported by people who tried; from memory, no published source).
SYSTEMS = {
    "windows": {
        "modules": ("resource", "fcntl", "termios", "pwd", "grp"),
        "select": ("poll", "epoll", "kqueue"),
        "signal": NO_SIGNALS,
        "os": NO_PROCESSES,
        "set_blocking": True,
        "limits": (),
    },
    "macos": {
        "modules": (),
        "select": ("epoll",),
        "signal": (),
        "os": ("sched_getaffinity", "sched_setaffinity"),
        "set_blocking": False,
        "limits": ("RLIMIT_AS",),
    },
}


def become(system):
    """Take away what the system lacks, here and in all Pythons that are started from here."""
    lacks = SYSTEMS[system]
    _import_none_of(lacks["modules"])
    for name in lacks["select"]:
        if hasattr(select, name):
            delattr(select, name)
    for name in lacks["signal"]:
        delattr(signal, name)
    for name in lacks["os"]:
        delattr(os, name)
    if lacks["set_blocking"]:
        os.set_blocking = _refused
    if lacks["limits"]:
        _refuse_limits(lacks["limits"])
    sys.executable = str(_stand_in(system))


def _import_none_of(modules):
    load = builtins.__import__

    def refuse(name, *arguments, **more):
        if name in modules and _asks(sys._getframe(1)):
            raise ImportError(f"No module named {name!r}")
        return load(name, *arguments, **more)

    builtins.__import__ = refuse
    import importlib

    find = importlib.import_module

    def refuse_too(name, package=None):
        if name in modules:
            raise ImportError(f"No module named {name!r}")
        return find(name, package)

    importlib.import_module = refuse_too


def _asks(frame):
    """Only our own library goes without: other libraries are told apart by what the system is."""
    return frame.f_globals.get("__name__", "").startswith("course_lib")


def _refused(*_):
    raise OSError("this system cannot do that")


def _refuse_limits(names):
    import resource

    numbers = {getattr(resource, name) for name in names}
    limit = resource.setrlimit

    def refuse(kind, limits):
        if kind in numbers:
            raise ValueError("current limit exceeds maximum limit")
        limit(kind, limits)

    resource.setrlimit = refuse


def _stand_in(system):
    """Write a program that is Python on such a system, for whoever asks for `sys.executable`."""
    place = Path(tempfile.mkdtemp()) / "python3"
    place.write_text(f'#!/bin/sh\nexec "{sys.executable}" "{__file__}" {system} "$@"\n')
    place.chmod(0o755)
    return place


def main(system, *arguments):
    """Be that system, and run what is asked for, as Python would."""
    become(system)
    rest = list(arguments)
    while rest and rest[0] in ("-I", "-E", "-P", "-s", "-u"):
        rest.pop(0)
    if rest[0] == "-m":
        sys.argv = rest[1:]
        runpy.run_module(rest[1], run_name="__main__", alter_sys=True)
    elif rest[0] == "-c":
        sys.argv = rest[1:]
        exec(compile(rest[1], "<string>", "exec"), {"__name__": "__main__"})
    else:
        sys.argv = rest
        runpy.run_path(rest[0], run_name="__main__")


if __name__ == "__main__":
    sys.path.pop(0)  # what lies beside this file is not what is looked for
    main(*sys.argv[1:])
