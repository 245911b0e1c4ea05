"""A real JupyterHub on the loopback, and people who come to it as a browser would.

Nobody here has a password or a token that was not made at random for this one run.
"""

import contextlib
import json
import re
import socket
import subprocess
import uuid
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field

import requests
from tornado import websocket
from tornado.httpclient import HTTPRequest
from tornado.ioloop import IOLoop

from machines.private_machine import PYTHON
from machines.processes import until


@contextlib.contextmanager
def running_hub(machine, settings, proxy):
    """Run a hub in the machine with these settings, text; yield its address."""
    public, inner, proxys = _free_ports(3)
    folder = machine.folder / "hub"
    (folder / "jupyterhub_config.py").write_text(
        f"{settings}\n"
        f"c.JupyterHub.bind_url = 'http://127.0.0.1:{public}'\n"
        f"c.JupyterHub.hub_port = {inner}\n"
        f"c.ConfigurableHTTPProxy.api_url = 'http://127.0.0.1:{proxys}'\n"
        f"c.ConfigurableHTTPProxy.command = ['node', {proxy!r}]\n"
    )
    with (folder / "log").open("w") as log:
        server = subprocess.Popen(
            machine.command("root", PYTHON, "-m", "jupyterhub", cwd=folder),
            stdout=log,
            stderr=subprocess.STDOUT,
        )
    address = f"http://127.0.0.1:{public}"
    try:
        _wait_until_up(address, server, folder / "log")
        yield address
    finally:
        server.kill()  # what it started ends with the machine
        server.wait()


def _free_ports(count):
    with contextlib.ExitStack() as held:
        probes = [held.enter_context(socket.socket()) for _ in range(count)]
        for probe in probes:
            probe.bind(("127.0.0.1", 0))
        return [probe.getsockname()[1] for probe in probes]


def _wait_until_up(address, server, log):
    def is_up():
        with contextlib.suppress(requests.ConnectionError):
            return requests.get(f"{address}/hub/api/").ok

    until(is_up, server, lambda: log.read_text()[-3000:])


class RefusedError(Exception):
    """The hub did not let somebody in."""


@dataclass
class Visitor:
    """Somebody at the hub's pages; after `log_in`, with a token for their own server."""

    address: str
    name: str
    session: requests.Session = field(default_factory=requests.Session)

    def log_in(self, password):
        """Fill in the form of the login page, as a person does, and ask for a token."""
        page = self.session.get(f"{self.address}/hub/login")
        (xsrf,) = set(re.findall(r'name="_xsrf" value="([^"]+)"', page.text))
        form = {"username": self.name, "password": password, "_xsrf": xsrf}
        self.session.post(f"{self.address}/hub/login?next=/hub/token", data=form)
        if "jupyterhub-session-id" not in self.session.cookies or not self._is_known():
            raise RefusedError(self.name)
        made = self.session.post(
            f"{self.address}/hub/api/users/{self.name}/tokens",
            json={},
            headers={"X-XSRFToken": self._xsrf()},
        )
        made.raise_for_status()
        self.session.close()
        self.session = requests.Session()
        self.session.headers["Authorization"] = f"token {made.json()['token']}"
        return self

    def _is_known(self):
        home = self.session.get(f"{self.address}/hub/home", allow_redirects=False)
        return home.status_code == 200

    def _xsrf(self):
        return next(
            one.value for one in self.session.cookies if one.name == "_xsrf" and one.path == "/hub/"
        )

    def ask(self, method, path, **more):
        """Ask the hub, or a server behind it, for something; return the answer, whatever it is."""
        return self.session.request(method, f"{self.address}{path}", **more)

    def mine(self, method, path, **more):
        """Ask one's own server; return what it says, which must be no refusal."""
        answer = self.ask(method, f"/user/{self.name}/{path}", **more)
        assert answer.ok, (answer.status_code, answer.text[:2000])
        return answer.json() if answer.content else None

    def start_server(self):
        """Start one's server and wait until it is there."""
        self.ask("POST", f"/hub/api/users/{self.name}/server").raise_for_status()
        about = f"/hub/api/users/{self.name}"
        until(lambda: self.ask("GET", about).json()["servers"].get("", {}).get("ready"))

    def run_cells(self, folder, sources):
        """Run cells in a new kernel of one's server; return the text that each shows."""
        kernel = self.mine("POST", "api/kernels", json={"name": "python3", "path": folder})["id"]
        with ThreadPoolExecutor(1) as apart:  # a browser of other tests may have a loop in this one
            return apart.submit(self._run_in_a_loop, kernel, sources).result()

    def _run_in_a_loop(self, kernel, sources):
        return IOLoop().run_sync(lambda: self._run_all(kernel, sources))

    async def _run_all(self, kernel, sources):
        address = self.address.replace("http", "ws", 1)
        line = await websocket.websocket_connect(
            HTTPRequest(
                f"{address}/user/{self.name}/api/kernels/{kernel}/channels",
                headers={"Authorization": self.session.headers["Authorization"]},
            )
        )
        try:
            return [await _run(line, source) for source in sources]
        finally:
            line.close()


async def _run(line, source):
    """Run one cell; return what it printed and showed, in order."""
    own = uuid.uuid4().hex
    header = {"msg_id": own, "msg_type": "execute_request", "username": "", "session": own,
              "date": "", "version": "5.3"}  # fmt: skip
    content = {"code": source, "silent": False, "store_history": True, "user_expressions": {},
               "allow_stdin": False, "stop_on_error": True}  # fmt: skip
    await line.write_message(json.dumps({
        "header": header, "parent_header": {}, "metadata": {}, "content": content,
        "channel": "shell", "buffers": [],
    }))  # fmt: skip
    shown = []
    while True:
        message = json.loads(await line.read_message())
        if message["parent_header"].get("msg_id") != own:
            continue
        kind, content = message["msg_type"], message["content"]
        if kind == "stream":
            shown.append(content["text"])
        elif kind in ("display_data", "execute_result"):
            shown.append(content["data"].get("text/plain", ""))
        elif kind == "error":
            shown.append("\n".join(content["traceback"]))
        elif kind == "status" and content["execution_state"] == "idle":
            return "\n".join(shown)
