"""The warm process: everything imported, waiting to fork. Runs inside the sandbox.

    python -m instructor.grading.sandbox.inside.warm_server DESCRIPTOR BOUNDS PROGRAM [MODULE ...]

It is told to start an answer by one message that carries three descriptors: where
the request comes from, where replies go, where prints go. It forks; the fork shuts
itself in for good (`isolation.py`) and only then becomes the program, which reads the
request: for answers that is `course_lib.runner.child`. So the warm process never sees
what an answer is, and nothing of it can be left in the memory that the next fork gets.
It watches the fork, ends it when told to or when all its processes together use too
much memory, makes sure that nothing is left, and says so.
"""

__all__ = ["main"]

import array
import gc
import importlib
import json
import os
import select
import signal
import socket
import sys
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import NoReturn

from instructor.grading.sandbox.inside import isolation
from instructor.grading.sandbox.inside.isolation import Bounds
from instructor.grading.sandbox.inside.system_calls import prepared_filter

LOOK_MS = 50  # between two looks at the memory that an answer uses
PAGE_OCTETS = os.sysconf("SC_PAGE_SIZE")
COULD_NOT_ISOLATE = 70  # exit status


def main() -> None:
    """Import what answers may need, put up the walls that last, and serve."""
    control = socket.socket(fileno=int(sys.argv[1]))
    bounds = Bounds(*json.loads(sys.argv[2]))
    program, *_ = [importlib.import_module(name) for name in sys.argv[3:]]
    isolation.hide_from_tracers()
    isolation.forbid_new_users()
    isolation.silence_network()
    isolation.drop_capabilities_for_programs()
    prepared_filter()
    gc.collect()
    gc.freeze()  # else the first collection in a fork would copy every page
    control.send(b"ready")
    serve(control, bounds, program.main)


def serve(control: socket.socket, bounds: Bounds, become: Callable[[], None]) -> None:
    """Start one answer after another, until the other side is gone."""
    own = os.open("/proc/self/ns/pid", os.O_RDONLY)
    before = _processes()
    while True:
        descriptors = array.array("i")
        message, ancillary, _, _ = control.recvmsg(16, socket.CMSG_SPACE(3 * descriptors.itemsize))
        if not message:
            return
        for _, _, data in ancillary:
            descriptors.frombytes(data)
        if len(descriptors) != 3:
            continue  # "end" for an answer that has ended by itself
        isolation.new_process_namespace_for_children()
        pid = os.fork()
        if pid == 0:
            _become_answer(list(descriptors), bounds, become)
        isolation.back_to_process_namespace(own)
        for descriptor in descriptors:
            os.close(descriptor)
        ended = _watch(pid, control, bounds, before)
        ended["left"] = len(_processes() - before)
        ended["so_far_s"] = round(sum(os.times()[:4]), 2)  # ours, and of all forks so far
        control.send(json.dumps(ended).encode())


def _become_answer(descriptors: list[int], bounds: Bounds, become: Callable[[], None]) -> NoReturn:
    """Turn this fork into the process of an answer; it never returns."""
    try:
        for place, descriptor in enumerate(descriptors):
            os.dup2(descriptor, place)
        isolation.close_all_but_standard_streams()
        os.setsid()
        isolation.make_own_surroundings(bounds)
        isolation.become_harmless(bounds)
        gc.unfreeze()
        become()
    except BaseException:
        os.write(2, traceback.format_exc().encode())
    finally:
        os._exit(COULD_NOT_ISOLATE)


def _watch(pid: int, control: socket.socket, bounds: Bounds, before: set[str]) -> dict[str, object]:
    """Wait for the end of an answer, or bring it about; say how it ended."""
    end = os.pidfd_open(pid)
    poll = select.poll()
    poll.register(end, select.POLLIN)
    poll.register(control, select.POLLIN)
    why = ""
    while True:
        events = dict(poll.poll(LOOK_MS))
        if end in events:
            break
        if control.fileno() in events:
            if not control.recv(16):
                os._exit(0)  # nobody is there any more; all of this sandbox ends with us
            signal.pidfd_send_signal(end, signal.SIGKILL)
            poll.unregister(control)
        elif not events and not why and _memory_octets(before) > bounds.memory_octets:
            why = f"used more than {bounds.memory_octets >> 20} MiB of memory in all"
            signal.pidfd_send_signal(end, signal.SIGKILL)
    os.close(end)
    _, status, usage = os.wait4(pid, 0)  # returns when all others in its namespace are gone too
    processor_s = round(usage.ru_utime + usage.ru_stime, 4)
    return {"code": os.waitstatus_to_exitcode(status), "why": why, "processor_s": processor_s}


def _processes() -> set[str]:
    return {name for name in os.listdir("/proc") if name.isdigit()}  # noqa: PTH208  # quicker


def _memory_octets(before: set[str]) -> int:
    """Return what all processes of the running answer use beyond what they share with us."""
    ours = _resident_octets(str(os.getpid()))
    return sum(max(0, _resident_octets(name) - ours) for name in _processes() - before)


def _resident_octets(name: str) -> int:
    try:
        return int(Path(f"/proc/{name}/statm").read_text().split()[1]) * PAGE_OCTETS
    except (FileNotFoundError, ProcessLookupError):
        return 0  # it ended while we looked


if __name__ == "__main__":
    main()
