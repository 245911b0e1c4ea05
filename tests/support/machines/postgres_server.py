"""A real PostgreSQL server of a test's own: no network, on a socket in a folder that goes again.

The server refuses to run as root, so a root's tests start it as the user `nobody`.
"""

import contextlib
import os
import shutil
import signal
import subprocess
import tempfile
from pathlib import Path

from machines.processes import until

DEBIAN = Path("/usr/lib/postgresql")  # Debian keeps servers off the path, a folder a version
PORT = 55432  # names the socket's file; nothing listens on a network
USER = "staff"


def find_server(need):
    """Return the folder with the server's programs, or skip and say how to get them."""
    kept = sorted(DEBIAN.glob("*/bin/initdb"), key=lambda path: float(path.parts[-3]))
    return kept[-1].parent if kept else Path(need("initdb", "apt-get install postgresql")).parent


@contextlib.contextmanager
def running_server(programs):
    """Start a server in a new folder, yield the address of an empty database, and stop it."""
    folder = Path(tempfile.mkdtemp(prefix="server-"))
    user = {"user": "nobody"} if os.geteuid() == 0 else {}
    try:
        if user:
            shutil.chown(folder, "nobody")
        _prepare(programs, folder, user)
        with _served(programs, folder, user):
            yield f"postgresql://{USER}@/postgres?host={folder}&port={PORT}"
    finally:
        shutil.rmtree(folder)


def _prepare(programs, folder, user):
    subprocess.run(
        [programs / "initdb", "-D", folder / "data", "-U", USER, "--auth=trust", "--no-sync",
         "--encoding=UTF8", "--locale=C"],
        check=True, capture_output=True, cwd=folder, **user,
    )  # fmt: skip


@contextlib.contextmanager
def _served(programs, folder, user):
    command = [programs / "postgres", "-D", folder / "data", "-k", folder, "-p", str(PORT),
               "-c", "listen_addresses=", "-c", "fsync=off"]  # fmt: skip
    with (folder / "log").open("w") as log:
        server = subprocess.Popen(command, stdout=log, stderr=log, cwd=folder, **user)
    try:
        _wait(programs, folder, server)
        yield
    finally:
        server.send_signal(signal.SIGINT)  # "fast shutdown" in the server's manual
        server.wait()


def _wait(programs, folder, server):
    ready = [programs / "pg_isready", "-q", "-h", folder, "-p", str(PORT)]
    is_up = lambda: subprocess.run(ready, check=False).returncode == 0  # noqa: E731
    until(is_up, server, (folder / "log").read_text)
