"""A form for a notebook: what `hopbyhop plan` reads from a request, to choose and to press.

It writes the request's file, lets `make_plan` do the work, and shows the page that this wrote. So
whatever was chosen here can be changed by hand, and planned again on the command line.
"""

__all__ = ["PlanForm", "plan_form"]

import datetime
import html
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import ipywidgets

from instructor.planning.find_timetable import CannotFitError
from instructor.planning.make_plan import PAGE, make_plan
from instructor.planning.request import AVOID, LIKE, MUST, SHOW
from instructor.planning.request_file import RequestError
from instructor.planning.teaching_units import UnitFactsError, all_units
from instructor.release.workbook_files import ROOT

SESSIONS = "09:00-10:30, 11:00-12:30, 13:30-15:00, 15:30-17:00"
WORDS = (("no wish", ""), ("must", MUST), ("like", LIKE), ("at least shown", SHOW), ("not", AVOID))
NAMES_WIDE, FIELD_WIDE = "12rem", "24rem"  # two columns where there is room, else one


class PlanForm:
    """The fields, the button, what was said last, and the page; `out` is where files go."""

    def __init__(self, out: Path) -> None:
        self.out = out
        today = datetime.date.today()
        self.title = _field(ipywidgets.Text, "title", "A course")
        self.first = _field(ipywidgets.DatePicker, "first day", today)
        self.days = _field(ipywidgets.BoundedIntText, "days in a row", 1, min=1, max=7)
        self.weeks = _field(ipywidgets.BoundedIntText, "weeks", 1, min=1, max=30)
        self.sessions = _field(ipywidgets.Text, "sessions of a day", SESSIONS)
        self.zone = _field(ipywidgets.Text, "time zone", "UTC")
        self.people = _field(ipywidgets.BoundedIntText, "people", 24, min=1, max=2000)
        self.machines = _field(ipywidgets.BoundedIntText, "machines (0: own)", 0, min=0, max=2000)
        self.wishes = {
            unit.name: _field(ipywidgets.Dropdown, f"{unit.number} {unit.title}", "", options=WORDS)
            for unit in all_units(ROOT / "workbooks")
        }
        self.now = _field(ipywidgets.Text, "late: it is", "", placeholder="14:20, or nothing")
        self.done = _field(
            ipywidgets.SelectMultiple, "late: done", (), options=list(self.wishes), rows=4
        )
        self.button = ipywidgets.Button(description="Find a timetable", button_style="primary")
        self.said = ipywidgets.HTML()
        self.page = ipywidgets.HTML()
        self.button.on_click(self.find)

    @property
    def request_file(self) -> Path:
        """Where the request is written: beside the folder with the timetable."""
        return self.out.with_suffix(".toml")

    def request_text(self) -> str:
        """Return what was chosen, as a request's file has it."""
        first = self.first.value or datetime.date.today()
        sessions = [one.strip() for one in self.sessions.value.split(",") if one.strip()]
        lines = [
            f"title = {json.dumps(self.title.value)}",
            f"time_zone = {json.dumps(self.zone.value)}",
            f"people = {self.people.value}",
        ]
        if self.machines.value:
            lines.append(f"machines = {self.machines.value}")
        for day in range(self.days.value):
            date = first + datetime.timedelta(days=day)
            lines += ["", "[[days]]", f"date = {date.isoformat()}", f"weeks = {self.weeks.value}",
                      f"sessions = {json.dumps(sessions)}"]  # fmt: skip
        lines += ["", "[wishes]"]
        for word in (MUST, LIKE, SHOW, AVOID):
            named = [unit for unit, field in self.wishes.items() if field.value == word]
            lines.append(f"{word} = {json.dumps(named)}")
        return "\n".join(lines) + "\n"

    def find(self, _: object = None) -> None:
        """Write the request, find a timetable, and show its page, or say what is wrong."""
        self.page.value = ""
        self.said.value = "Searching: seconds for a day, up to a minute for a term ..."
        try:
            self.request_file.write_text(self.request_text(), encoding="utf-8")
            now = datetime.time.fromisoformat(self.now.value) if self.now.value.strip() else None
            said = make_plan(self.request_file, self.out, now=now, done=self.done.value)
        except (RequestError, CannotFitError, UnitFactsError, OSError, ValueError) as problem:
            self.said.value = f"<pre>{html.escape(str(problem))}</pre>"
            return
        said += f"\nRequest:  {self.request_file}"
        self.said.value = f"<pre>{html.escape(said)}</pre>"
        page = html.escape((self.out / PAGE).read_text(encoding="utf-8"), quote=True)
        self.page.value = (
            f'<iframe title="the timetable" srcdoc="{page}" '
            'style="width: 100%; height: 46rem; border: 1px solid"></iframe>'
        )

    def _repr_mimebundle_(self, **given: Any) -> Mapping[str, Any]:
        """Show the form in a notebook."""
        left = ipywidgets.VBox(
            [self.title, self.first, self.days, self.weeks, self.sessions, self.zone, self.people,
             self.machines, self.now, self.done]
        )  # fmt: skip
        columns = ipywidgets.HBox(
            [left, ipywidgets.VBox([*self.wishes.values()])],
            layout=ipywidgets.Layout(flex_flow="row wrap"),
        )
        box = ipywidgets.VBox([columns, self.button, self.said, self.page])
        shown: Mapping[str, Any] = box._repr_mimebundle_(**given)
        return shown


def plan_form(out: str | Path = "timetable") -> PlanForm:
    """Return the form; the timetable goes into the folder `out`, its request beside it."""
    return PlanForm(Path(out))


def _field(kind: type, words: str, value: object, **more: object) -> Any:
    """Return a field with its words in front, all of them readable."""
    return kind(
        description=words, value=value, style={"description_width": NAMES_WIDE},
        layout=ipywidgets.Layout(width=FIELD_WIDE), **more,
    )  # fmt: skip
