"""What a hostile answer would try: each function really tries to break one wall.

The source of this module is sent into the sandbox, so it imports nothing of the course's.
Each attempt returns, as plain data, what it managed to do: an empty list is a wall that held.
"""

__all__ = [
    "allocate",
    "allocate_in_children",
    "capabilities_left",
    "fill_scratch",
    "forge_replies",
    "fork_until_refused",
    "leave_processes_behind",
    "new_user_namespaces",
    "open_descriptors",
    "places_connected_to",
    "places_written_to",
    "print_octets",
    "processes_in_sight",
    "readable_files",
    "scratch_files",
    "sleep",
    "spin",
    "system_calls_allowed",
    "variables_in_sight",
    "write_one_file",
]

import contextlib
import ctypes
import os
import signal
import socket
import stat
import sys
import time

# An attempt is to reach the system by the shortest road.
# ruff: noqa: PTH108, PTH112, PTH118, PTH120, PTH123, PTH202, PTH208


def places_connected_to(port: int, name: str) -> list[str]:
    """Try this machine's own services, by address and by name, and an address elsewhere.

    Whether a datagram arrives can only be seen from outside.
    """
    reached = []
    tries = (
        ("a service of this machine", socket.AF_INET, ("127.0.0.1", port)),
        ("the same by IPv6", socket.AF_INET6, ("::1", port)),
        ("another machine", socket.AF_INET, ("192.0.2.1", 9)),
        ("a service by name", socket.AF_UNIX, "\0" + name),
    )
    for what, family, address in tries:
        for kind in (socket.SOCK_STREAM, socket.SOCK_DGRAM):
            with contextlib.suppress(OSError), socket.socket(family, kind) as line:
                line.settimeout(0.2)
                line.connect(address)
                line.send(b"x")
                if kind == socket.SOCK_STREAM:
                    reached.append(what)
    return reached


def readable_files(paths: list[str]) -> list[str]:
    """Try to open or list each path, also by the roads that lead through `/proc`."""
    found = []
    for path in paths:
        for road in ("", "/proc/1/root", "/proc/self/root", "/proc/1/cwd", ".."):
            with contextlib.suppress(OSError):
                os.listdir(road + path) if os.path.isdir(road + path) else open(road + path).close()
                found.append(path)
    return found


def places_written_to(scratch: str) -> list[str]:
    """Try to make a file in the root, in every folder with a mount, and around the library."""
    places = {"/", "/dev", "/proc", "/sys", "/etc", "/inside", *sys.path}
    with open("/proc/self/mountinfo") as lines:
        places |= {line.split()[4] for line in lines}
    written = []
    for place in sorted(places):
        folder = place if os.path.isdir(place) else os.path.dirname(place)
        with contextlib.suppress(OSError):
            name = os.path.join(folder, f"left by {os.getpid()}")
            open(name, "w").close()
            written.append(folder)
            os.unlink(name)
    return [folder for folder in written if folder not in (scratch, "/tmp")]


def scratch_files() -> list[str]:
    """List what an earlier answer left in the scratch folder, and leave something."""
    there = os.listdir(".")
    with open("left", "w") as file:
        file.write("read this, whoever comes next")
    return there


def variables_in_sight() -> list[str]:
    """Return the names in our own environment and in that of every process in sight."""
    names = set(os.environ)
    for number in os.listdir("/proc"):
        with contextlib.suppress(OSError), open(f"/proc/{number}/environ", "rb") as file:
            pairs = file.read().split(b"\0")
            names |= {pair.partition(b"=")[0].decode() for pair in pairs if pair}
    return sorted(names)


def open_descriptors() -> list[str]:
    """Name what is behind every descriptor beyond the standard three that is not a pipe."""
    found = []
    pipes = 0
    for number in range(3, 4096):
        try:
            mode = os.fstat(number).st_mode
        except OSError:
            continue
        pipes += stat.S_ISFIFO(mode)
        if not stat.S_ISFIFO(mode) or pipes > 1:  # one is for our own replies
            found.append(f"{number}: {stat.filemode(mode)}")
    return found


def processes_in_sight() -> list[str]:
    """Return every process other than our own, and whose memory we could open."""
    found = []
    for name in os.listdir("/proc"):
        if not name.isdigit() or int(name) == os.getpid():
            continue
        with open(f"/proc/{name}/comm") as file:
            known = file.read().strip()
        if (name, known) != ("1", "bwrap"):
            found.append(f"{name} {known}")
        with contextlib.suppress(OSError):
            open(f"/proc/{name}/mem", "rb").close()
            found.append(f"the memory of {name}")
    return found


def new_user_namespaces() -> list[str]:
    """Try to become somebody else in a namespace of our own."""
    libc = ctypes.CDLL(None)
    made = ["by unshare"] if libc.unshare(0x10000000) == 0 else []
    child = libc.syscall(56 if os.uname().machine == "x86_64" else 220, 0x10000011, 0, 0, 0, 0)
    if child == 0:
        os._exit(0)
    return [*made, "by clone"] if child > 0 else made


def capabilities_left() -> list[str]:
    """Try what only somebody with rights can do, and read which rights the kernel says we have."""
    libc = ctypes.CDLL(None)
    done = []
    with open("/proc/self/status") as lines:
        for line in lines:
            name, _, value = line.partition(":")
            if name.startswith("Cap") and int(value, 16):
                done.append(f"{name} {value.strip()}")
            if name == "NoNewPrivs" and value.strip() != "1":
                done.append("rights can be gained")
    for what, call in (
        ("become root", lambda: os.setuid(0)),
        ("change the root", lambda: os.chroot(".")),
        ("name the machine", lambda: socket.sethostname("mine")),
        ("raise the priority", lambda: os.nice(-1)),
    ):
        with contextlib.suppress(OSError):
            call()
            done.append(what)
    if libc.mount(b"none", b"/scratch", b"tmpfs", 0, None) == 0:
        done.append("mount")
    return done


def system_calls_allowed() -> list[str]:
    """Try calls that need no rights and still reach beyond the answer's own process."""
    libc = ctypes.CDLL(None)
    allowed = []
    intel = os.uname().machine == "x86_64"
    for what, number, arguments in (
        ("a key that the kernel keeps", 248 if intel else 217, (b"user", b"a", b"b", 1, -4)),
        ("memory that no limit counts", 319 if intel else 279, (b"a", 0)),
        ("shared memory", 29 if intel else 194, (1, 4096, 0o1600)),
        ("being traced", 101 if intel else 117, (0, 0, 0, 0)),
    ):
        if libc.syscall(number, *arguments) >= 0:
            allowed.append(what)
    return allowed


def fork_until_refused(most: int) -> int:
    """Start processes that stay, until that is refused or there are `most`; return how many."""
    count = 0
    with contextlib.suppress(OSError):
        while count < most:
            if os.fork() == 0:
                signal.pause()
            count += 1
    return count


def leave_processes_behind() -> int:
    """Start processes that leave our session and ignore every signal they can; return how many."""
    for _ in range(3):
        if os.fork() == 0:
            os.setsid()
            if os.fork() == 0:
                for number in (signal.SIGHUP, signal.SIGINT, signal.SIGTERM):
                    signal.signal(number, signal.SIG_IGN)
                time.sleep(600)
            os._exit(0)
        os.wait()  # until it has got away: nobody can end it with us any more
    return 3


def allocate(octets: int) -> int:
    """Take memory and fill it; return how much there was."""
    return len(b"x" * octets)


def allocate_in_children(children: int, octets: int) -> int:
    """Let several processes take memory at the same time, each less than it may."""
    for _ in range(children):
        if os.fork() == 0:
            _kept = b"x" * octets
            time.sleep(600)
    time.sleep(600)
    return children


def write_one_file(most: int) -> int:
    """Write into one file until that is refused; return its size."""
    piece = bytes(1 << 20)
    with open("large", "wb", buffering=0) as file:
        with contextlib.suppress(OSError):
            while file.tell() < most:
                file.write(piece)
        return os.fstat(file.fileno()).st_size


def fill_scratch(most: int) -> int:
    """Write many files until that is refused; return the octets of all."""
    piece = bytes(4 << 20)
    total = 0
    while total < most:
        try:
            with open(f"file{total}", "wb", buffering=0) as file:
                file.write(piece)
        except OSError:
            break
        finally:
            total = sum(os.path.getsize(name) for name in os.listdir("."))
    return total


def print_octets(octets: int) -> int:
    """Print a line without end."""
    for _ in range(octets >> 16):
        sys.stdout.write("x" * (1 << 16))
    return octets


def forge_replies(count: int) -> int:
    """Write replies to questions that nobody asked, into every descriptor there is."""
    for _ in range(count):
        for number in range(3, 12):
            with contextlib.suppress(OSError):
                os.write(number, b'{"case": 7, "value": 1}\n')
    return count


def spin() -> int:
    """Use the processor until somebody ends it."""
    number = 0
    while True:
        number += 1


def sleep(seconds: float) -> float:
    """Do nothing for a long time."""
    time.sleep(seconds)
    return seconds
