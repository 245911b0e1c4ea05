"""Say what this machine can do for the course, and how to mend what it cannot.

Each check does the real thing: it starts a kernel, runs an answer, opens a port.
Nothing is changed and nothing is sent anywhere.
"""

__all__ = ["Finding", "check_machine", "report"]

import importlib.metadata
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import webbrowser
from dataclasses import dataclass
from pathlib import Path

PYTHON_FROM, PYTHON_BELOW = (3, 11), (3, 14)
DISK_MIB = 300
PACKAGES = ("jupyterlab", "ipywidgets", "matplotlib", "numpy", "scapy")
BROWSERS = ("chromium", "google-chrome", "firefox", "microsoft-edge")


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that was tried: whether it works, what was seen, and how to mend it.

    `required` things every student needs; the others say in `needed_for` who does.
    """

    what: str
    works: bool
    seen: str
    mend: str = ""
    required: bool = True
    needed_for: str = ""


def check_machine() -> list[Finding]:
    """Try everything the course needs, in the order in which one would mend it."""
    return [
        _python(),
        *[_package(name) for name in PACKAGES],
        _kernel(),
        _answers(),
        _port(),
        _folder(),
        _disk(),
        _browser(),
        _sandbox(),
        _namespaces(),
    ]


def report(findings: list[Finding]) -> str:
    """Write findings as lines for a terminal."""
    width = max(len(finding.what) for finding in findings)
    lines = []
    for finding in findings:
        state = "ready  " if finding.works else ("MISSING" if finding.required else "absent ")
        lines.append(f"{state}  {finding.what:<{width}}  {finding.seen}")
        if not finding.works:
            use = f" (needed {finding.needed_for})" if finding.needed_for else ""
            lines.append(f"{'':9}{'':{width}}  to mend it: {finding.mend}{use}")
    missing = sum(not finding.works and finding.required for finding in findings)
    lines.append(
        "This machine is ready for the workbooks."
        if not missing
        else f"{missing} thing(s) that every student needs are missing."
    )
    return "\n".join(lines)


def _python() -> Finding:
    version = ".".join(str(part) for part in sys.version_info[:3])
    works = PYTHON_FROM <= sys.version_info[:2] < PYTHON_BELOW
    return Finding("Python", works, version, "install Python 3.11, 3.12 or 3.13")


def _package(name: str) -> Finding:
    try:
        return Finding(name, True, importlib.metadata.version(name))
    except importlib.metadata.PackageNotFoundError:
        return Finding(name, False, "not installed", f"pip install {name}")


def _kernel() -> Finding:
    """Start a kernel and let it add two numbers."""
    mend = "pip install --force-reinstall ipykernel jupyter_client"
    try:
        from jupyter_client.manager import start_new_kernel
    except ImportError as problem:
        return Finding("a notebook kernel", False, str(problem), mend)
    try:
        manager, client = start_new_kernel(
            kernel_name="python3", startup_timeout=60, stderr=subprocess.DEVNULL
        )
    except Exception as problem:  # whatever it is, it is what the student must read
        return Finding("a notebook kernel", False, f"{type(problem).__name__}: {problem}", mend)
    try:
        reply = client.execute_interactive("1 + 1", timeout=30, silent=True)
        works = reply["content"]["status"] == "ok"
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)
    return Finding("a notebook kernel", works, "starts and runs a cell", mend)


def _answers() -> Finding:
    from course_lib.runner.answer_process import RunnerError
    from course_lib.runner.runner import StandAlone, run_answer

    mend = "reinstall the course: pip install --force-reinstall ./hop_by_hop-*.whl"
    try:
        run = run_answer(StandAlone("def f(x):\n    return x + 1\n"), "f", [[1]])
    except RunnerError as problem:
        return Finding("marking", False, str(problem), mend)
    works = bool(run.results) and run.results[0].value == 2
    return Finding("marking", works, "an answer runs in a process of its own", mend)


def _port() -> Finding:
    mend = "ask who looks after this machine why programs may not listen on 127.0.0.1"
    try:
        with socket.socket() as listener:
            listener.bind(("127.0.0.1", 0))
            port = listener.getsockname()[1]
    except OSError as problem:
        return Finding("a local port", False, str(problem), mend)
    return Finding("a local port", True, f"can listen on 127.0.0.1 (tried {port})", mend)


def _folder() -> Finding:
    mend = "work in a folder that you may write to"
    try:
        with tempfile.TemporaryFile(dir=Path.cwd()):
            pass
    except OSError as problem:
        return Finding("this folder", False, f"cannot be written to: {problem.strerror}", mend)
    return Finding("this folder", True, "can be written to", mend)


def _disk() -> Finding:
    free = shutil.disk_usage(Path.cwd()).free >> 20
    return Finding(
        "disk space", free >= DISK_MIB, f"{free:,} MiB free", f"free {DISK_MIB} MiB on this disk"
    )


def _browser() -> Finding:
    found = next((name for name in BROWSERS if shutil.which(name)), "")
    if not found:
        try:
            found = webbrowser.get().name
        except webbrowser.Error:
            found = ""
    return Finding(
        "a browser", bool(found), found or "none found", "install Firefox or Chromium",
        required=False, needed_for="unless you open the workbooks from another machine",
    )  # fmt: skip


def _sandbox() -> Finding:
    needed = "to grade a class, not to take part"
    if shutil.which("bwrap") is None:
        return Finding("a sandbox", False, "bubblewrap is not installed",
                       "apt-get install bubblewrap", required=False, needed_for=needed)  # fmt: skip
    return _try(
        "a sandbox",
        ["bwrap", "--unshare-all", "--ro-bind", "/", "/", "true"],
        "let users make namespaces, or run as an administrator",
        needed,
    )


def _namespaces() -> Finding:
    needed = "to run your own router between real hosts"
    if shutil.which("unshare") is None:
        return Finding("network namespaces", False, "Linux only", "use a Linux machine",
                       required=False, needed_for=needed)  # fmt: skip
    command = (
        ["unshare", "--net"]
        if os.geteuid() == 0
        else ["unshare", "--user", "--map-root-user", "--net"]
    )
    return _try(
        "network namespaces",
        [*command, "true"],
        "let users make namespaces, or run as an administrator",
        needed,
    )


def _try(what: str, command: list[str], mend: str, needed_for: str) -> Finding:
    done = subprocess.run(command, capture_output=True, text=True, timeout=30, check=False)
    seen = "works" if done.returncode == 0 else (done.stderr.strip() or "does not start")
    return Finding(what, done.returncode == 0, seen, mend, required=False, needed_for=needed_for)
