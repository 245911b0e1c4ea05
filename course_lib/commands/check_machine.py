"""Say what this machine can do for the course, and how to mend what it cannot.

Each check does the real thing: it starts a kernel, runs an answer, opens a port.
Nothing is changed and nothing is sent anywhere.
"""

__all__ = ["Finding", "check_machine", "report"]

import importlib.metadata
import shutil
import socket
import subprocess
import sys
import tempfile
import webbrowser
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from course_lib.commands.terminal_words import folded
from course_lib.live.ability import live_ability

PYTHON_FROM, PYTHON_BELOW = (3, 11), (3, 14)
DISK_MIB = 300
COURSE = "hop-by-hop"
BROWSERS = ("chromium", "google-chrome", "firefox", "microsoft-edge")


Seen: TypeAlias = tuple[bool, str]  # whether it works, and what was seen


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that was tried: whether it works, what was seen, and how to mend it.

    Every student needs it, unless `needed_for` says who does.
    """

    what: str
    works: bool
    seen: str
    mend: str = ""
    needed_for: str = ""

    @property
    def required(self) -> bool:
        """Does every student need it?"""
        return not self.needed_for


def check_machine() -> list[Finding]:
    """Try everything the course needs, in the order in which one would mend it."""
    kernel = "pip install --force-reinstall ipykernel jupyter_client"
    marking = "reinstall the course: pip install --force-reinstall ./hop_by_hop-*.whl"
    port = "ask who looks after this machine why programs may not listen on 127.0.0.1"
    by_hand = "unless you open the workbooks from another machine"
    allow = "let users make namespaces, or run as an administrator"
    sandbox = "apt-get install bubblewrap" if shutil.which("bwrap") is None else allow
    live, hosts = live_ability(), "to run your own router between real hosts"
    seen = "works" if live.is_there else f"{live.step}: {live.reason}"
    return [
        Finding("Python", *_python(), "install Python 3.11, 3.12 or 3.13"),
        *[Finding(name, *_package(name), f"pip install {name}") for name in _needed_packages()],
        Finding("a notebook kernel", *_kernel(), kernel),
        Finding("marking", *_answers(), marking),
        Finding("a local port", *_port(), port),
        Finding("this folder", *_folder(), "work in a folder that you may write to"),
        Finding("disk space", *_disk(), f"free {DISK_MIB} MiB on this disk"),
        Finding("a browser", *_browser(), "install Firefox or Chromium", by_hand),
        Finding("a sandbox", *_sandbox(), sandbox, "to grade a class, not to take part"),
        Finding("a private network", live.is_there, seen, live.advice, hosts),
    ]


def report(findings: list[Finding]) -> str:
    """Write findings as lines for a terminal."""
    width = max(len(finding.what) for finding in findings)
    beside = " " * (len("MISSING") + 2 + width + 2)
    lines = []
    for finding in findings:
        state = "ready  " if finding.works else ("MISSING" if finding.required else "absent ")
        lines.append(folded(f"{state}  {finding.what:<{width}}  {finding.seen}", beside))
        if not finding.works:
            use = f" (needed {finding.needed_for})" if finding.needed_for else ""
            lines.append(folded(f"to mend it: {finding.mend}{use}", beside, beside))
    missing = sum(not finding.works and finding.required for finding in findings)
    lines.append(
        "This machine is ready for the workbooks."
        if not missing
        else f"{missing} thing(s) that every student needs are missing."
    )
    return "\n".join(lines)


def _python() -> Seen:
    version = ".".join(str(part) for part in sys.version_info[:3])
    return PYTHON_FROM <= sys.version_info[:2] < PYTHON_BELOW, version


def _needed_packages() -> list[str]:
    """Return the packages that the course says it needs on this machine, without extras."""
    try:
        from packaging.requirements import Requirement
    except ImportError:
        return ["packaging"]
    wanted = [Requirement(text) for text in importlib.metadata.requires(COURSE) or ()]
    return [one.name for one in wanted if one.marker is None or one.marker.evaluate({"extra": ""})]


def _package(name: str) -> Seen:
    try:
        return True, importlib.metadata.version(name)
    except importlib.metadata.PackageNotFoundError:
        return False, "not installed"


def _kernel() -> Seen:
    """Start a kernel and let it add two numbers."""
    try:
        from jupyter_client.manager import start_new_kernel
    except ImportError as problem:
        return False, str(problem)
    try:
        manager, client = start_new_kernel(
            kernel_name="python3", startup_timeout=60, stderr=subprocess.DEVNULL
        )
    except Exception as problem:  # whatever it is, it is what the student must read
        return False, f"{type(problem).__name__}: {problem}"
    try:
        reply = client.execute_interactive("1 + 1", timeout=30, silent=True)
        works = reply["content"]["status"] == "ok"
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)
    return works, "starts and runs a cell"


def _answers() -> Seen:
    from course_lib.runner.answer_process import RunnerError
    from course_lib.runner.runner import StandAlone, limits_lacking, run_answer

    try:
        run = run_answer(StandAlone("def f(x):\n    return x + 1\n"), "f", [[1]])
        lacking = limits_lacking()
    except RunnerError as problem:
        return False, str(problem)
    works = bool(run.results) and run.results[0].value == 2
    seen = "an answer runs in a process of its own"
    if lacking:  # no fault of anybody's: only an answer that goes wild is not stopped so soon
        seen += f"; this system does not limit its {' and '.join(lacking)}"
    return works, seen


def _port() -> Seen:
    try:
        with socket.socket() as listener:
            listener.bind(("127.0.0.1", 0))
            port = listener.getsockname()[1]
    except OSError as problem:
        return False, str(problem)
    return True, f"can listen on 127.0.0.1 (tried {port})"


def _folder() -> Seen:
    try:
        with tempfile.TemporaryFile(dir=Path.cwd()):
            pass
    except OSError as problem:
        return False, f"cannot be written to: {problem.strerror}"
    return True, "can be written to"


def _disk() -> Seen:
    free = shutil.disk_usage(Path.cwd()).free >> 20
    return free >= DISK_MIB, f"{free:,} MiB free"


def _browser() -> Seen:
    found = next((name for name in BROWSERS if shutil.which(name)), "")
    if not found:
        try:
            found = webbrowser.get().name
        except webbrowser.Error:
            found = ""
    return bool(found), found or "none found"


def _sandbox() -> Seen:
    if shutil.which("bwrap") is None:
        return False, "bubblewrap is not installed"
    return _runs("bwrap", "--unshare-all", "--ro-bind", "/", "/", "true")


def _runs(*command: str) -> Seen:
    done = subprocess.run(command, capture_output=True, text=True, timeout=30, check=False)
    works = done.returncode == 0
    return works, "works" if works else (done.stderr.strip() or "does not start")
