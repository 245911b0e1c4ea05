"""The command that starts a program in a sandbox: what is shown in there, and nothing else.

bubblewrap is given an empty file system to which the run-time is bound, read-only,
piece by piece; to bind the whole system read-only would show gradebook and answers.
There is no network, no environment, and no home.

As root, two users are mapped into the sandbox: root, who sets it up, and 65534, who
answers become, since most limits do nothing for root. Anybody else has one user to
give, which is 65534 in there.
"""

__all__ = ["ENVIRONMENT", "INSIDE", "user_namespace", "walls"]

import contextlib
import os
import subprocess
import sys
import sysconfig
from collections.abc import Iterator, Sequence
from pathlib import Path

import course_lib
from course_lib.exercises.registry import all_exercises
from course_lib.runner.answer_process import RunnerError
from course_lib.runner.out_of_reach import LIBRARIES
from instructor.grading.sandbox import inside
from instructor.grading.sandbox.inside import isolation

INSIDE = Path("/inside")  # where the modules that run in the sandbox are found
DEVICES = ("null", "zero", "full", "random", "urandom")
ENVIRONMENT = {
    "PATH": "/usr/bin:/bin",
    "HOME": isolation.SCRATCH,
    "TMPDIR": isolation.SCRATCH,
    "LANG": "C.UTF-8",
    "PYTHONPATH": str(INSIDE),
    "PYTHONDONTWRITEBYTECODE": "1",
    "PYTHONHASHSEED": "0",  # the order of sets is the same today and tomorrow
    # The warm process must have one thread when it forks.
    **{f"{name}_NUM_THREADS": "1" for name in ("OPENBLAS", "OMP", "MKL", "NUMBA")},
}
INSTALLED = ("stdlib", "platstdlib", "purelib", "platlib")
MAP_USERS = """
import ctypes, sys
if ctypes.CDLL(None).unshare(0x10000000): sys.exit("no new user namespace")
print(flush=True); sys.stdin.read()
"""  # CLONE_NEWUSER


def walls(users: int | None, scratch_octets: int | None) -> list[str]:
    """Return the beginning of a command line; the command to shut in follows.

    `users` is the descriptor of a user namespace to join (as root). `scratch_octets`
    None leaves the scratch folder to whoever forks in there.
    """
    command = [
        "bwrap", "--unshare-ipc", "--unshare-pid", "--unshare-net", "--unshare-uts",
        "--unshare-cgroup-try", "--hostname", "sandbox", "--die-with-parent", "--new-session",
    ]  # fmt: skip
    if users is not None:
        command += ["--userns", str(users), "--cap-add", "ALL"]
    else:
        # Here answers are the same user as bubblewrap's own first process: so there is none.
        command += ["--unshare-user", "--uid", "65534", "--gid", "65534", "--as-pid-1"]
        command += ["--cap-add", "ALL"] if scratch_octets is None else ["--cap-drop", "ALL"]
    command += ["--clearenv"]
    for name, value in ENVIRONMENT.items():
        command += ["--setenv", name, value]
    command += ["--proc", "/proc", *_shown(), *_devices()]
    if scratch_octets is None:
        command += ["--dir", isolation.SCRATCH]
    else:
        command += ["--perms", "1777", "--size", str(scratch_octets), "--tmpfs", isolation.SCRATCH]
    return [*command, "--remount-ro", "/", "--chdir", isolation.SCRATCH]


@contextlib.contextmanager
def user_namespace() -> Iterator[int | None]:
    """As root, make a user namespace with two users in it, and yield a descriptor of it.

    Yields None for everybody else. Raises `RunnerError` where there is none to be had.
    """
    if os.getuid() != 0:
        yield None
        return
    holder = subprocess.Popen(
        [sys.executable, "-I", "-S", "-c", MAP_USERS],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, env={},
    )  # fmt: skip
    with holder:
        assert holder.stdin
        assert holder.stdout
        if holder.stdout.readline() != b"\n":
            raise RunnerError("the system makes no user namespaces")
        user = isolation.ANSWER_USER
        try:
            for kind in ("uid_map", "gid_map"):
                Path(f"/proc/{holder.pid}/{kind}").write_text(f"0 0 1\n{user} {user} 1\n")
            descriptor = os.open(f"/proc/{holder.pid}/ns/user", os.O_RDONLY)
        except OSError as problem:
            raise RunnerError(f"users cannot be mapped ({problem.strerror})") from problem
        finally:
            holder.stdin.close()
    try:
        yield descriptor
    finally:
        os.close(descriptor)


def _shown() -> list[str]:
    """Return the options that show the run-time, every folder on the way made readable."""
    shown = {path: path for path in _runtime()}
    shown[INSIDE.joinpath(*inside.__name__.split("."))] = Path(inside.__path__[0])
    options: list[str] = []
    folders = {folder for path in shown for folder in path.parents if folder != Path("/")}
    for folder in sorted(folders):
        if not any(top == folder or top in folder.parents for top in shown):
            options += ["--dir", str(folder)]
    for path in sorted(shown):
        options += ["--ro-bind", str(shown[path]), str(path)]
    if Path("/tmp") not in folders:  # unless the course itself lies there
        options += ["--symlink", isolation.SCRATCH, "/tmp"]
    for link in ("/bin", "/lib", "/lib64"):
        if Path(link).is_symlink():
            options += ["--symlink", str(Path(link).readlink()), link]
        elif Path(link).is_dir() and link != "/bin":
            options += ["--ro-bind", link, link]
    return [*options, *_without_libraries()]


def _without_libraries() -> list[str]:
    """Return the options that cover what no answer may use: in here it is not even a file.

    Of the course's library only what runs answers is left. All of it but what is lent, which
    keeps the contracts of exercises, stays if some exercise may use a part of it.
    """
    library = Path(course_lib.__file__).resolve().parent
    if any(one.may_use for one in all_exercises()):
        return _covered(library / "my_parts")
    packets = [Path(sysconfig.get_path("purelib")) / name for name in LIBRARIES]
    options = [one for path in packets if path.is_dir() for one in _covered(path)]
    needed = (library / name for name in ("__init__.py", "runner"))
    return [*options, *_covered(library, *needed)]


def _covered(folder: Path, *but: Path) -> list[str]:
    """Return the options that put an empty folder over one, `but` for what is in it."""
    kept = [one for path in but for one in ("--ro-bind", str(path), str(path))]
    return ["--tmpfs", str(folder), *kept, "--remount-ro", str(folder)]


def _devices() -> list[str]:
    options = ["--dir", "/dev"]
    for name in DEVICES:
        options += ["--dev-bind", f"/dev/{name}", f"/dev/{name}"]
    return options


def _runtime() -> Sequence[Path]:
    """Return what Python and the library need, outermost first and nothing twice."""
    wanted = {
        Path("/usr/lib"),
        Path("/usr/lib64"),
        Path("/etc/ld.so.cache"),
        *_links(Path(sys.executable)),
        *(Path(sysconfig.get_path(name)) for name in INSTALLED),
        Path(course_lib.__file__).resolve().parent,
    }
    if sys.prefix != sys.base_prefix:
        wanted.add(Path(sys.prefix))
    library = sysconfig.get_config_var("LIBDIR")
    if library and sys.base_prefix not in ("/usr", "/usr/local"):
        wanted |= {Path(library), Path(sys.base_prefix)}
    found = sorted(path for path in wanted if path.exists())
    return [path for path in found if not any(other in path.parents for other in found)]


def _links(path: Path) -> list[Path]:
    """Return a path, and each that it leads to by links, to the end."""
    if not path.is_symlink():
        return [path]
    return [path, *_links(path.parent / path.readlink())]
