"""What people do in a class on a hub: an administrator, the staff, and students.

What the administrator and the staff type is taken from the guide, so that the guide and
the tests cannot drift apart.
"""

import json
import re
import textwrap
from dataclasses import dataclass, field
from pathlib import Path

import instructor.hub
from hand_ins.hand_in_files import UNIT
from instructor.release.workbook_files import grade_name, with_answers
from machines.hub_on_loopback import Visitor
from machines.private_machine import PREFIX, Machine

HUB = Path(instructor.hub.__file__).parent
GUIDE = (HUB / "README.md").read_text(encoding="utf-8")
COURSE, EVENING = "hop-by-hop", "evening-class"
WORKBOOK = f"{COURSE}/{UNIT}/{UNIT}.ipynb"
EXCHANGE = "/srv/nbgrader/exchange"


@dataclass
class ClassOnHub:
    """A class: the machine on which it lives, and the address of its hub."""

    machine: Machine
    address: str = ""
    typed: set[str] = field(default_factory=set)  # lines of the guide

    @property
    def course(self):
        """Return the course folder of the staff."""
        return self.machine.home("rowan") / "class" / "course"

    def administrator(self, line, place=None):
        """Do as root what the guide says."""
        self._note(line)
        return self._type("root", line, place)

    def staff(self, line, place="class/course", **other):
        """Do as the staff what the guide says; `other` words may stand in place of its own."""
        line = textwrap.dedent(line).strip()
        self._note(line)
        for old, new in other.values():
            assert old in line, old
            line = line.replace(old, new)
        return self._type("rowan", line, self.machine.home("rowan") / place)

    def _note(self, line):
        assert _bare(line) in _bare(GUIDE), line
        self.typed.update(_bare(line).strip().split("\n"))

    def _type(self, who, line, place):
        for old, new in (
            ("/opt/hub", str(PREFIX)),
            # A program's first line names the Python of the place where it was installed.
            ("~/hop-by-hop/.venv/bin/hopbyhop", "~/hop-by-hop/.venv/bin/python -m course_lib.cli"),
        ):
            line = line.replace(old, new)
        return self.machine.must(who, "/bin/sh", "-c", line, cwd=place)

    def arrives(self, student):
        """Let a student log in and start a server."""
        visitor = Visitor(self.address, student).log_in(self.machine.passwords[student])
        visitor.start_server()
        return visitor

    def install_settings(self):
        """Put the settings where the guide says; return those of the hub, with two courses."""
        self.administrator("""\
            mkdir -p /opt/hub/etc/jupyter /srv/jupyterhub
            chmod 0700 /srv/jupyterhub
            cp nbgrader_config.py /opt/hub/etc/jupyter/
            cp jupyterhub_config.py /srv/jupyterhub/""",
            self.machine.home("rowan") / "hop-by-hop" / "instructor" / "hub")  # fmt: skip
        text = (HUB / "jupyterhub_config.py").read_text(encoding="utf-8")
        usual, ours = 'COURSES = ("hop-by-hop",)', f"COURSES = ({COURSE!r}, {EVENING!r})"
        assert usual in text
        return text.replace(usual, ours)


def lines_to_type():
    """Return every line of the guide that somebody is to type, or to put into a file."""
    return {line.strip() for line in re.findall(r"^ {4,}\S.*$", GUIDE, re.MULTILINE)}


def _bare(text):
    """Leave out how far lines are moved in."""
    return re.sub(r"^ +", "", text, flags=re.MULTILINE)


def act(student, action, course=COURSE):
    """Press a button of the list of assignments; return the list as it is then."""
    asked = {"course_id": course, "assignment_id": UNIT}
    answer = student.mine("POST", f"assignments/{action}", json=asked)
    assert answer["success"], answer
    return answer["value"]


def write_answers(student, answers):
    """Write answers into one's workbook and save it, as JupyterLab does; return its code cells."""
    workbook = student.mine("GET", f"api/contents/{WORKBOOK}")["content"]
    filled = with_answers(_as_notebook(workbook), answers)
    saved = {"type": "notebook", "format": "json", "content": filled}
    student.mine("PUT", f"api/contents/{WORKBOOK}", json=saved)
    return [cell for cell in filled.cells if cell.cell_type == "code"]


def _as_notebook(data):
    import nbformat

    return nbformat.reads(json.dumps(data), as_version=4)


def up_to(cells, name):
    """Return the sources of the cells up to the one of this name."""
    place = next(n for n, cell in enumerate(cells) if grade_name(cell) == name)
    return [cell.source for cell in cells[: place + 1]]
