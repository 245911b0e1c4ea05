"""Refuse the system calls that an answer never needs. Runs inside the sandbox.

Rights are gone before an answer runs, but a few calls need none: keys that the
kernel keeps beyond a process's end, memory that no limit counts, looking into other
processes, new namespaces. A filter (seccomp(2), BPF_* of linux/filter.h) answers
them with "not permitted"; everything else passes.
"""

__all__ = ["forbid_system_calls", "prepared_filter"]

import ctypes
import functools
import os
import platform
import struct

PR_SET_SECCOMP, SECCOMP_MODE_FILTER = 22, 2
LOAD, EQUAL, AT_LEAST, BITS, RETURN = 0x20, 0x15, 0x35, 0x45, 0x06
ALLOW, REFUSE, NOT_THERE = 0x7FFF0000, 0x00050001, 0x00050026  # refuse: EPERM, ENOSYS
NUMBER_AT, MACHINE_AT, FIRST_ARGUMENT_AT = 0, 4, 16  # struct seccomp_data, low half of argument 0
X32_BIT = 0x40000000
CLONE_NEW_ANYTHING = 0x7E020080  # every CLONE_NEW* of linux/sched.h

_LIBC = ctypes.CDLL(None, use_errno=True)

# Per machine: its number in audit.h, and the numbers of the calls (asm/unistd.h).
MACHINES = {
    "x86_64": 0xC000003E,
    "aarch64": 0xC00000B7,
}
REFUSED = {
    #                      x86_64  aarch64
    "add_key":               (248, 217),
    "request_key":           (249, 218),
    "keyctl":                (250, 219),
    "ptrace":                (101, 117),
    "process_vm_readv":      (310, 270),
    "process_vm_writev":     (311, 271),
    "kcmp":                  (312, 272),
    "pidfd_getfd":           (438, 438),
    "memfd_create":          (319, 279),
    "memfd_secret":          (447, 447),
    "shmget":                (29, 194),
    "msgget":                (68, 186),
    "semget":                (64, 190),
    "mq_open":               (240, 180),
    "unshare":               (272, 97),
    "setns":                 (308, 268),
    "mount":                 (165, 40),
    "umount2":               (166, 39),
    "pivot_root":            (155, 41),
    "chroot":                (161, 51),
    "open_tree":             (428, 428),
    "move_mount":            (429, 429),
    "fsopen":                (430, 430),
    "mount_setattr":         (442, 442),
    "bpf":                   (321, 280),
    "perf_event_open":       (298, 241),
    "userfaultfd":           (323, 282),
    "io_uring_setup":        (425, 425),
    "kexec_load":            (246, 104),
    "init_module":           (175, 105),
    "finit_module":          (313, 273),
    "syslog":                (103, 116),
    "personality":           (135, 92),
}  # fmt: skip
CLONE = (56, 220)
CLONE3 = 435  # its flags lie in memory, where a filter cannot look; C libraries then use clone


def forbid_system_calls() -> None:
    """Install the filter for this process and all that it starts; raise `OSError` if refused.

    Needs "no new privileges" to be set before. On a machine whose numbers are not
    in the table nothing can be installed, and `OSError` is raised too.
    """
    if _LIBC.prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, prepared_filter()[0], 0, 0) < 0:
        raise OSError(ctypes.get_errno(), os.strerror(ctypes.get_errno()))


@functools.cache
def prepared_filter() -> tuple[ctypes.Array[ctypes.c_char], ...]:
    """Return a `struct sock_fprog` in memory, and the steps that it points to.

    Made once, so a process that forks for others asks for it before it forks: each page of
    memory that a fork writes to costs it some microseconds.
    """
    program = _program(platform.machine())
    steps = ctypes.create_string_buffer(program, len(program))
    header = struct.pack("HxxxxxxQ", len(program) // 8, ctypes.addressof(steps))
    return ctypes.create_string_buffer(header), steps


def _program(machine: str) -> bytes:
    """Return the filter as octets of `struct sock_filter`: a list of tests, one verdict each."""
    if machine not in MACHINES:
        raise OSError(f"no system call filter for machines of type {machine}")
    column = list(MACHINES).index(machine)
    steps = [
        _step(LOAD, MACHINE_AT),
        _step(EQUAL, MACHINES[machine], 1, 0),
        _step(RETURN, REFUSE),
        _step(LOAD, NUMBER_AT),
        *_verdict_if(AT_LEAST, X32_BIT, REFUSE),
        *_verdict_if(EQUAL, CLONE3, NOT_THERE),
    ]
    for numbers in REFUSED.values():
        steps += _verdict_if(EQUAL, numbers[column], REFUSE)
    steps += [
        _step(EQUAL, CLONE[column], 1, 0),
        _step(RETURN, ALLOW),
        _step(LOAD, FIRST_ARGUMENT_AT),
        *_verdict_if(BITS, CLONE_NEW_ANYTHING, REFUSE),
        _step(RETURN, ALLOW),
    ]
    return b"".join(steps)


def _verdict_if(test: int, value: int, verdict: int) -> list[bytes]:
    return [_step(test, value, 0, 1), _step(RETURN, verdict)]


def _step(code: int, value: int, if_true: int = 0, if_false: int = 0) -> bytes:
    return struct.pack("HBBI", code, if_true, if_false, value)
