"""A sandbox for answers: what an answer's process can see is the run-time and nothing else.

It uses bubblewrap: no network, no other processes in sight, a read-only system, a
scratch folder that vanishes. Only Python's own folders and `course_lib` are shown;
gradebook, answers and other hand-ins are not there at all.

Where there is no bubblewrap, the grader is told, and goes on only with `--trusted`.
"""

__all__ = ["SandboxReport", "launcher", "probe"]

import shutil
import sys
import sysconfig
from dataclasses import dataclass
from pathlib import Path

import course_lib
from course_lib.exercises.answer_source import StandAlone
from course_lib.exercises.runner import Launcher, RunnerError, run_answer

MEND = "install bubblewrap (on Debian: apt-get install bubblewrap)"


@dataclass(frozen=True, slots=True)
class SandboxReport:
    """Whether answers can be shut in on this machine, and if not, why and what to do."""

    works: bool
    detail: str


def launcher() -> Launcher:
    """Return what wraps the command of an answer's process in a sandbox."""
    prefix = _command()

    def wrap(command: list[str]) -> list[str]:
        return [*prefix, *command]

    return wrap


def probe() -> SandboxReport:
    """Start an answer in the sandbox and see what it can reach."""
    if shutil.which("bwrap") is None:
        return SandboxReport(False, f"there is no sandbox: {MEND}")
    secret = Path(__file__).parent
    source = f"import os\ndef look():\n    return os.path.exists({str(secret)!r})\n"
    try:
        run = run_answer(StandAlone(source), "look", [[]], launcher=launcher())
    except RunnerError as problem:
        return SandboxReport(False, f"the sandbox does not start here ({problem}); {MEND}")
    if run.load_problem is not None or run.results[0].value is not False:
        return SandboxReport(False, "the sandbox starts, but the grader's own files are in reach")
    return SandboxReport(True, "answers run without network and see only the run-time")


def _command() -> list[str]:
    command = [
        "bwrap", "--unshare-all", "--unshare-user", "--disable-userns",
        "--uid", "65534", "--gid", "65534", "--cap-drop", "ALL",
        "--die-with-parent", "--new-session", "--clearenv",
        "--setenv", "PATH", "/usr/bin:/bin",
        "--proc", "/proc", "--dev", "/dev", "--tmpfs", "/tmp", "--chdir", "/tmp",
    ]  # fmt: skip
    for path in _runtime_folders():
        command += ["--ro-bind", str(path), str(path)]
    for link in ("/bin", "/lib", "/lib64"):
        if Path(link).is_symlink():
            command += ["--symlink", str(Path(link).readlink()), link]
        elif Path(link).is_dir():
            command += ["--ro-bind", link, link]
    return command


def _runtime_folders() -> list[Path]:
    """Return the folders that Python and the library need, outermost first."""
    wanted = {
        Path("/usr"),
        Path("/etc/ld.so.cache"),
        Path(sys.prefix),
        Path(sys.base_prefix),
        Path(sysconfig.get_path("stdlib")),
        Path(course_lib.__file__).resolve().parent,
    }
    found = sorted(path for path in wanted if path.exists())
    return [path for path in found if not any(other in path.parents for other in found)]
