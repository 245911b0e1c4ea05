"""Settings of a JupyterHub on which classes work; `README.md` beside this file says the rest.

Copy the file to the hub's own settings and name the courses in `COURSES`. Who is in a
course is said in one place, by two groups of the system for each course:

| group | who |
|---|---|
| `nbgrader-COURSE` | its students and its staff |
| `formgrade-COURSE` | its staff |

Each person needs an account of the system: the files' owners are what keeps hand-ins
apart. A spawner that runs everybody under one account must not be put in here.
"""

__all__ = ["COURSES", "configure", "courses_of"]

import grp
import os
import pwd
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

COURSES = ("hop-by-hop",)
IDLE_S = 3600  # a server that nobody uses ends after this time
KERNEL_IDLE_S = 1800  # the same for a kernel whose workbook is open nowhere

# Begins each server: a mark in the course's folder, so that progress is kept there for all
# workbooks, and outside the folders that are handed in.
BEGIN = """\
umask 077
for course in $HOP_BY_HOP_COURSES; do
    mkdir -p "$HOME/$course" && touch "$HOME/$course/.hop-by-hop"
done
exec "$@"
"""


def configure(c: Any, courses: Sequence[str] = COURSES) -> None:
    """Set up `c` for these courses."""
    c.JupyterHub.bind_url = "http://127.0.0.1:8000"  # put a web server with TLS in front of it
    c.JupyterHub.load_roles = [{"name": "server", "scopes": SERVER_MAY}]
    c.LocalAuthenticator.allowed_groups = {name for course in courses for name in _groups(course)}
    c.Authenticator.manage_groups = True
    c.Authenticator.post_auth_hook = _with_groups
    c.Spawner.default_url = "/lab"
    c.Spawner.cmd = ["/bin/sh", "-c", BEGIN, "sh", sys.executable, "-m", "jupyterhub.singleuser"]
    c.Spawner.args = [
        f"--ServerApp.shutdown_no_activity_timeout={IDLE_S}",
        f"--MappingKernelManager.cull_idle_timeout={KERNEL_IDLE_S}",
        "--LabApp.news_url=",  # nobody's server asks another one for news
        "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
    ]
    c.Spawner.environment = {
        "PATH": f"{Path(sys.executable).parent}:{os.defpath}",
        "HOP_BY_HOP_COURSES": lambda spawner: " ".join(courses_of(spawner.user.name, courses)),
    }


def courses_of(person: str, courses: Sequence[str]) -> list[str]:
    """Return the courses that somebody takes part in, as student or staff."""
    groups = _groups_of(person)
    return [course for course in courses if groups.intersection(_groups(course))]


# The list of assignments asks the hub for the groups of the person whose server it is.
SERVER_MAY = [
    "users:activity!user",
    "access:servers!server",
    "read:users:name!user",
    "read:users:groups!user",
]


def _groups(course: str) -> tuple[str, str]:
    return f"nbgrader-{course}", f"formgrade-{course}"


def _groups_of(person: str) -> set[str]:
    first = pwd.getpwnam(person).pw_gid
    return {grp.getgrgid(number).gr_name for number in os.getgrouplist(person, first)}


def _with_groups(_authenticator: Any, _handler: Any, person: dict[str, Any]) -> dict[str, Any]:
    """Give the hub, at each login, the groups that the system knows."""
    ours = {"nbgrader", "formgrade"}
    groups = sorted(one for one in _groups_of(person["name"]) if one.partition("-")[0] in ours)
    return {**person, "groups": groups}


if "get_config" in globals():  # there for whoever reads this as settings, not for an import
    configure(globals()["get_config"](), COURSES)
