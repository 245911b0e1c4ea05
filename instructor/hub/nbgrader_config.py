"""Settings of the exchange for everybody on the hub; `README.md` beside this file says the rest.

Copy the file to `etc/jupyter` in the hub's environment, where all servers find it.
"""

__all__ = ["EXCHANGE", "configure"]

from typing import Any

EXCHANGE = "/srv/nbgrader/exchange"


def configure(c: Any) -> None:
    """Say where the exchange is, and who may see which course in it."""
    c.Exchange.root = EXCHANGE
    c.Exchange.path_includes_course = True  # ~/COURSE/UNIT: units of two courses stay apart
    c.Authenticator.plugin_class = "nbgrader.auth.JupyterHubAuthPlugin"


if "get_config" in globals():  # there for whoever reads this as settings, not for an import
    configure(globals()["get_config"]())
