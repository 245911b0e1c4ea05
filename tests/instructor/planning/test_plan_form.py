"""The form of the notebook plans what the command plans, from a file that anybody can change."""

import datetime
import html

import nbformat
import pytest

from course_lib.cli import main
from instructor.planning.make_plan import KEPT, PAGE
from instructor.planning.plan_form import PlanForm
from instructor.planning.request_file import read_request
from instructor.release.workbook_files import ROOT, unit_names

NOTEBOOK = ROOT / "instructor" / "planning" / "plan-a-course.ipynb"


@pytest.fixture
def form(tmp_path, monkeypatch):
    """Run the notebook's cells in a folder of their own, and return what the last one shows."""
    monkeypatch.chdir(tmp_path)
    names = {}
    for cell in nbformat.read(NOTEBOOK, as_version=4).cells:
        if cell.cell_type == "code":
            assert not cell.outputs
            *lines, last = cell.source.splitlines()
            exec("\n".join(lines), names)
            shown = eval(last, names)
    assert isinstance(shown, PlanForm)
    assert "application/vnd.jupyter.widget-view+json" in shown._repr_mimebundle_()
    shown.first.value = datetime.date(2026, 5, 4)
    shown.title.value = 'A "short" day'
    shown.sessions.value = "09:00-10:30, 11:00-12:30"
    return shown


def test_pressing_the_button_finds_what_the_command_finds(form, tmp_path):
    form.wishes["02-checksums"].value = "must"
    form.wishes["11-loss-and-tcp"].value = "avoid"
    form.button.click()
    assert "that is proved" in html.unescape(form.said.value)
    assert "<iframe" in form.page.value
    assert html.escape("02 Checksums") in form.page.value
    request = read_request(form.request_file, unit_names())
    assert (request.title, len(request.sessions)) == ('A "short" day', 2)
    assert request.word("11-loss-and-tcp") == "avoid"
    assert main(["plan", str(form.request_file), "--out", str(tmp_path / "again")]) == 0
    for name in (PAGE, KEPT):
        assert (tmp_path / "again" / name).read_text() == (form.out / name).read_text()


WRONG = {
    "no times": ("sessions", "at nine", "is not two times"),
    "no zone": ("zone", "Ferry/North", "no name of a time zone"),
    "no time of day": ("now", "soon", "Invalid isoformat string"),
}


@pytest.mark.parametrize(("field", "value", "said"), WRONG.values(), ids=WRONG)
def test_what_cannot_be_read_is_said_in_the_form(field, value, said, form):
    getattr(form, field).value = value
    form.button.click()
    assert said in html.unescape(form.said.value)
    assert form.page.value == ""


def test_wishes_that_cannot_be_kept_are_named(form):
    for unit in ("07-routes", "12-your-own-router"):
        form.wishes[unit].value = "must"
    form.button.click()
    assert "These wishes cannot all be kept" in html.unescape(form.said.value)
