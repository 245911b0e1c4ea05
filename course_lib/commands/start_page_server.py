"""Serve the start page from the student's own Jupyter server, anew each time it is asked for.

`hopbyhop open` names this module to the server as an extension.
"""

__all__ = ["PATH", "StartPageHandler"]

from pathlib import Path
from typing import Any

from jupyter_server.base.handlers import JupyterHandler
from jupyter_server.utils import url_path_join
from tornado.web import authenticated

from course_lib.commands.start_page import start_page

PATH = "/hop-by-hop"


class StartPageHandler(JupyterHandler):
    """Answers with the start page, to whoever may use this server."""

    @authenticated
    def get(self) -> None:
        """Write the page."""
        root = Path(self.settings["server_root_dir"]).expanduser()
        self.finish(start_page(root, self.base_url))


def _jupyter_server_extension_points() -> list[dict[str, str]]:
    return [{"module": __name__}]


def _load_jupyter_server_extension(server: Any) -> None:
    place = url_path_join(server.base_url, PATH)
    server.web_app.add_handlers(".*$", [(place, StartPageHandler)])
