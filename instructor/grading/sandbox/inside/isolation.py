"""Shut the calling process in, so that a stranger's code can run in it. Runs inside the sandbox.

A warm process keeps its rights until it has forked. The fork then makes mount and
message namespaces of its own (it was born as the first process of a process
namespace of its own), puts a fresh scratch folder and a fresh `/proc` in place, and
gives up every right for good, in an order in which no step needs a right that is
gone. Only then does it read what it is to run.

As root, a limit on the number of processes does nothing: so a process that is root
inside becomes the user that was mapped for answers (65534), and one that is not
stays who it is. Needs Linux; sources: unshare(2), mount(2), capabilities(7),
user_namespaces(7), prctl(2).
"""

__all__ = [
    "Bounds",
    "NotIsolatedError",
    "back_to_process_namespace",
    "become_harmless",
    "close_all_but_standard_streams",
    "drop_capabilities_for_programs",
    "forbid_new_users",
    "hide_from_tracers",
    "make_own_surroundings",
    "new_process_namespace_for_children",
    "silence_network",
]

import ctypes
import fcntl
import os
import resource
import socket
import struct
from pathlib import Path
from typing import NamedTuple

from instructor.grading.sandbox.inside.system_calls import forbid_system_calls

SCRATCH = "/scratch"  # the one folder that an answer can write to
ANSWER_USER = 65534
MAX_DESCRIPTORS = 128

# linux/sched.h
CLONE_NEWNS = 0x00020000
CLONE_NEWIPC = 0x08000000
CLONE_NEWPID = 0x20000000
# linux/mount.h
MS_RDONLY, MS_NOSUID, MS_NODEV, MS_NOEXEC = 1, 2, 4, 8
# linux/prctl.h
PR_SET_DUMPABLE, PR_CAPBSET_READ, PR_CAPBSET_DROP = 4, 23, 24
PR_SET_NO_NEW_PRIVS, PR_CAP_AMBIENT = 38, 47
PR_CAP_AMBIENT_CLEAR_ALL = 4
CAPABILITY_VERSION_3 = 0x20080522
CAPABILITIES_OF_MINE = struct.pack("Ii", CAPABILITY_VERSION_3, 0)
NO_CAPABILITIES = bytes(24)  # effective, permitted, inheritable
CAPABILITY_SETS = (b"CapInh", b"CapPrm", b"CapEff", b"CapBnd", b"CapAmb")  # proc(5)
# linux/sockios.h, linux/if.h
SIOCSIFFLAGS = 0x8914

_LIBC = ctypes.CDLL(None, use_errno=True)


class NotIsolatedError(RuntimeError):
    """A wall could not be put up; nothing strange must run here."""


class Bounds(NamedTuple):
    """What one sandbox as a whole may use, whatever it starts; octets, and a number."""

    processes: int = 32
    scratch_octets: int = 64 << 20
    memory_octets: int = 3 << 30


def forbid_new_users() -> None:
    """Turn off user namespaces below this one: `/proc/sys/user/max_user_namespaces` becomes 0."""
    _mount("proc", "/proc", "proc", 0, "")  # ours to write to; it covers the one given to us
    Path("/proc/sys/user/max_user_namespaces").write_text("0")
    _call("umount2", b"/proc", 0)


def silence_network() -> None:
    """Take down the loopback interface: answers cannot even talk to themselves."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as any_socket:
        fcntl.ioctl(any_socket, SIOCSIFFLAGS, struct.pack("16sH22x", b"lo", 0))


def hide_from_tracers() -> None:
    """Let no other process read, trace or dump this one."""
    _prctl(PR_SET_DUMPABLE, 0)


def drop_capabilities_for_programs() -> None:
    """Empty the bounding and ambient sets: no program started from here can gain a capability.

    A process that forks for others does this once; its forks then have it done already.
    What the process itself may do is not touched.
    """
    _prctl(PR_CAP_AMBIENT, PR_CAP_AMBIENT_CLEAR_ALL)
    number = 0
    while _LIBC.prctl(PR_CAPBSET_READ, number, 0, 0, 0) >= 0:  # up to the last there is
        if _LIBC.prctl(PR_CAPBSET_READ, number, 0, 0, 0):
            _prctl(PR_CAPBSET_DROP, number)
        number += 1


def new_process_namespace_for_children() -> None:
    """Let the next fork be the first of a process namespace; when it ends, all in there end.

    Go back before the fork after that: a namespace does not get another first process.
    """
    _call("unshare", CLONE_NEWPID)


def back_to_process_namespace(descriptor: int) -> None:
    """Let children be born into the namespace behind the descriptor again."""
    _call("setns", descriptor, CLONE_NEWPID)


def make_own_surroundings(bounds: Bounds) -> None:
    """Get mounts and message queues of our own, an empty scratch folder, and a `/proc` of our own.

    To be called by the first process of a new process namespace.
    """
    _call("unshare", CLONE_NEWNS | CLONE_NEWIPC)
    size = f"size={bounds.scratch_octets},nr_inodes=4096,mode=1777"
    _mount("tmpfs", SCRATCH, "tmpfs", MS_NOSUID | MS_NODEV, size)
    # `subset=pid` leaves out everything in /proc that is not about processes.
    _mount("proc", "/proc", "proc", MS_RDONLY | MS_NOSUID | MS_NODEV | MS_NOEXEC, "subset=pid")
    os.chdir(SCRATCH)


def become_harmless(bounds: Bounds) -> None:
    """Give up every right for good, and put limits on what is left.

    Raises `NotIsolatedError` if afterwards anything is left that should be gone, such as
    capabilities for programs (see `drop_capabilities_for_programs`).
    """
    if os.getuid() == 0:
        os.setgroups([])
        os.setresgid(ANSWER_USER, ANSWER_USER, ANSWER_USER)
        os.setresuid(ANSWER_USER, ANSWER_USER, ANSWER_USER)
    _drop_own_capabilities()
    _prctl(PR_SET_NO_NEW_PRIVS, 1)
    for kind, most in (
        (resource.RLIMIT_NPROC, bounds.processes),
        (resource.RLIMIT_NOFILE, MAX_DESCRIPTORS),
        (resource.RLIMIT_CORE, 0),
        (resource.RLIMIT_MEMLOCK, 0),
    ):
        resource.setrlimit(kind, (most, most))
    os.umask(0o077)
    forbid_system_calls()
    _check_that_no_rights_are_left()


def close_all_but_standard_streams() -> None:
    """Close every descriptor but 0, 1 and 2."""
    os.closerange(3, resource.getrlimit(resource.RLIMIT_NOFILE)[0])


def _drop_own_capabilities() -> None:
    _call("capset", CAPABILITIES_OF_MINE, NO_CAPABILITIES)


def _check_that_no_rights_are_left() -> None:
    status = os.open("/proc/self/status", os.O_RDONLY)
    said = dict(line.split(b":\t", 1) for line in os.read(status, 8192).splitlines())
    os.close(status)
    for name in CAPABILITY_SETS:
        if int(said[name], 16):
            raise NotIsolatedError(f"capabilities are left ({name!r} {said[name]!r})")
    if said[b"NoNewPrivs"] != b"1" or said[b"Seccomp"] != b"2":
        raise NotIsolatedError("the process could still gain rights")
    if 0 in os.getresuid() or 0 in os.getresgid():
        raise NotIsolatedError("the process is still root")


def _mount(source: str, target: str, kind: str, flags: int, options: str) -> None:
    texts = (text.encode() for text in (source, target, kind))
    _call("mount", *texts, ctypes.c_ulong(flags), options.encode())


def _prctl(what: int, value: int) -> None:
    _call("prctl", what, ctypes.c_ulong(value), *[ctypes.c_ulong(0)] * 3)


def _call(name: str, *arguments: object) -> None:
    """Call the C library; raise `NotIsolatedError` with the kernel's reason."""
    if getattr(_LIBC, name)(*arguments) < 0:
        reason = os.strerror(ctypes.get_errno())
        raise NotIsolatedError(f"{name} was refused: {reason}")
