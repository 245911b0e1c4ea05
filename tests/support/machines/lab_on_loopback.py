"""JupyterLab on a free port of the loopback, with settings of its own."""

import contextlib
import json
import os
import signal
import socket
import subprocess
import sys
import urllib.request

from machines.processes import until

TOKEN = "for-this-test-alone"
STOCK = ("jupyterlab", "--no-browser")
# What the staff's tools bring into JupyterLab; no student has it on a machine of their own.
OF_THE_STAFF = (
    "nbgrader.server_extensions.assignment_list", "nbgrader.server_extensions.course_list",
    "nbgrader.server_extensions.formgrader", "nbgrader.server_extensions.validate_assignment",
    "jupyterlab_jupytext", "notebook",
)  # fmt: skip
LEFT_OUT = (
    "@jupyter/nbgrader", "@jupyter-notebook/lab-extension", "jupyterlab-jupytext",
    "@jupyterlab/apputils-extension:splash",  # moves, and is painted, as long as JupyterLab loads
)  # fmt: skip


@contextlib.contextmanager
def lab_on(folder, settings, command=STOCK, windowing="none"):
    """Start JupyterLab on a folder, and give its address; end it afterwards.

    `settings` is an empty folder. `command` is the module of Python that starts JupyterLab, with
    its arguments: JupyterLab itself, or a command of ours that does. `windowing` is what JupyterLab
    does with cells out of sight: all are painted, so that all their words can be read.
    """
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    _configure(folder, settings, port, windowing)
    with (settings / "log.txt").open("w") as log:
        server = subprocess.Popen(
            [sys.executable, "-m", *command],
            env={**os.environ, "HOP_BY_HOP_STRICT": "1", "JUPYTER_CONFIG_DIR": str(settings),
                 "JUPYTERLAB_SETTINGS_DIR": str(settings / "lab"),
                 "JUPYTERLAB_WORKSPACES_DIR": str(settings / "spaces")},
            stdout=log, stderr=subprocess.STDOUT, start_new_session=True,
        )  # fmt: skip
        address = f"http://127.0.0.1:{port}"
        try:
            until(lambda: _answers(address), server, (settings / "log.txt").read_text)
            yield address
        finally:
            if server.poll() is None:
                end_all_kernels(address)  # they stand in sessions of their own
                # Not asked to end: on a busy machine its own end may wait for a thread for ever.
                os.killpg(server.pid, signal.SIGKILL)
            server.wait()


def _configure(folder, settings, port, windowing):
    server = {
        "allow_root": True, "ip": "127.0.0.1", "port": port, "root_dir": str(folder),
        "jpserver_extensions": dict.fromkeys(OF_THE_STAFF, False),
    }  # fmt: skip
    lab = {
        "expose_app_in_browser": True,  # as `jupyterapp`, for what has no key of its own
        "news_url": None,
        "check_for_updates_class": "jupyterlab.handlers.announcements.NeverCheckForUpdate",
    }
    values = {"ServerApp": server, "IdentityProvider": {"token": TOKEN}, "LabApp": lab}
    (settings / "jupyter_server_config.json").write_text(json.dumps(values))
    (settings / "labconfig").mkdir()
    left_out = {"disabledExtensions": dict.fromkeys(LEFT_OUT, True)}
    (settings / "labconfig" / "page_config.json").write_text(json.dumps(left_out))
    _set(settings, "notebook-extension/tracker", {"windowingMode": windowing})
    _set(settings, "apputils-extension/notification", {"fetchNews": "false"})


def _set(settings, name, values):
    path = settings / "lab" / "@jupyterlab" / f"{name}.jupyterlab-settings"
    path.parent.mkdir(parents=True)
    path.write_text(json.dumps(values))


def _answers(address):
    try:
        _ask(address, "")
    except OSError:
        return False
    return True


def end_all_kernels(address):
    """End whatever runs in this JupyterLab, and wait until it has ended."""
    for session in json.loads(_ask(address, "sessions")):
        _ask(address, f"sessions/{session['id']}", "DELETE")
    until(lambda: not json.loads(_ask(address, "sessions")))


def _ask(address, path, method="GET"):
    request = urllib.request.Request(f"{address}/api/{path}?token={TOKEN}", method=method)
    with urllib.request.urlopen(request) as answer:
        return answer.read()
