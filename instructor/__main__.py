"""From a bare machine to a running command: `python3 -m instructor demo|test|open ...`.

This module needs nothing but Python. It makes a virtual environment in `.venv`
beside the course, installs what the command needs, and hands over to it.
"""

__all__ = ["main"]

import importlib
import importlib.util
import os
import shutil
import signal
import subprocess
import sys
import venv
from pathlib import Path

from instructor.ended_together import beside, run_to_the_end

ROOT = Path(__file__).resolve().parent.parent
HOME = ROOT / ".venv"
PYTHON = HOME / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
STOPPED = (-signal.SIGINT, -signal.SIGKILL, 130)  # by Ctrl-C: then nothing more is run
# What each process of the tests then finds compiled; mypy leaves a processor for it.
COMPILE = "tests/support/machines/compile_all.py"
NEEDS = {"test": "instructor,test"}  # every other command needs `instructor`


def main(arguments: list[str]) -> int:
    """Set up once, then run `test` with pytest and every other word as a hopbyhop command."""
    if not ((3, 11) <= sys.version_info[:2] < (3, 14)):
        print(f"This is Python {sys.version.split()[0]}; the course needs 3.11, 3.12 or 3.13.")
        return 1
    if not arguments:
        print("Say what to run: demo, test, open, or any other command of hopbyhop.")
        return 2
    command, *rest = arguments
    if not _set_up(NEEDS.get(command, "instructor")):
        return 1
    if command == "test":
        return _test(rest)
    return subprocess.call([str(PYTHON), "-m", "course_lib.cli", command, *rest])


def _can_make_environments() -> bool:
    """Tell whether this Python can put pip into an environment: Debian's may lack the part."""
    importlib.invalidate_caches()
    return importlib.util.find_spec("ensurepip") is not None


def _add_what_debian_leaves_out() -> bool:
    """Install Debian's package for virtual environments, or say how an administrator can."""
    if os.name == "posix" and os.geteuid() == 0 and shutil.which("apt-get"):
        print("Installing Debian's python3-venv, which this Python lacks ...", flush=True)
        subprocess.call(["apt-get", "update", "-qq"])
        subprocess.call(["apt-get", "install", "-y", "-qq", "python3-venv"])
        if _can_make_environments():
            return True
    print(
        "This Python cannot make virtual environments. On Debian, run\n"
        "    apt-get install python3-venv\n"
        "as an administrator, then run this command again."
    )
    return False


def _test(options: list[str]) -> int:
    """Run style checks, type checks and tests; all of them, even if an early one fails.

    Whoever stops them stops all that they started.
    """
    # One more than there are processors: tests with browsers, sandboxes and kernels mostly wait.
    processes = (os.cpu_count() or 1) + 1
    checks = (
        ["ruff", "check", "."],
        ["ruff", "format", "--check", "."],
        ["mypy"],
        ["pytest", *(options or [f"--numprocesses={processes}", "--dist=loadgroup"])],
    )
    failed = []
    for check in checks:
        status = _run(check, [COMPILE] if check == ["mypy"] and not options else [])
        failed += [check[0]] if status else []
        if status in STOPPED:
            break
    if failed:
        print("Not passed: " + ", ".join(failed), flush=True)
    return 1 if failed else 0


def _run(check: list[str], meanwhile: list[str]) -> int:
    """Run one check; what it has compiled is kept, as thousands of processes are started.

    What is run `meanwhile` says nothing, and has ended when the check is over.
    """
    print("Running " + " ".join(check) + " ...", flush=True)
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    command = [str(PYTHON), "-m", *check]
    if not meanwhile:
        return run_to_the_end(command, ROOT)
    with beside([str(PYTHON), *meanwhile], ROOT) as until_it_ends:
        status = run_to_the_end(command, ROOT)
        if status not in STOPPED:
            until_it_ends()
    return status


def _set_up(extras: str) -> bool:
    """Make the environment and install the course in it; say what is going on."""
    if not PYTHON.exists():
        if not (_can_make_environments() or _add_what_debian_leaves_out()):
            return False
        print(f"Making a virtual environment in {HOME.name} ...", flush=True)
        venv.create(HOME, with_pip=True, clear=True)
    print(f"Installing the course and what it needs ({extras}) ...", flush=True)
    install = [str(PYTHON), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    done = subprocess.call([*install, "--editable", f"{ROOT}[{extras}]"])
    if done != 0:
        print("The installation did not finish; the lines above say why.")
    return done == 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
