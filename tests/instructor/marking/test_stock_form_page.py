"""The gradebook's own page for marking, with the settings of a release: text stays text."""

import pytest
from nbconvert.exporters import HTMLExporter
from nbgrader.server_extensions.formgrader import handlers

from classes.class_of_writers import HOSTILE
from hand_ins.hand_in_files import UNIT
from instructor.release.course_folder import (
    CONFIG_FILE,
    make_course_folder,
    named_course,
    settings,
)
from pages.page_reader import PageReader

ABOUT = {
    "assignment_id": UNIT, "notebook_id": UNIT, "submission_id": "0", "index": 0, "total": 1,
    "base_url": "", "student": "elder", "last_name": "", "first_name": "", "notebook_path": "",
}  # fmt: skip


def form_page(course, config):
    """Make the page as nbgrader's own handler does (`SubmissionHandler` of its form grader)."""
    config.HTMLExporter.template_name = "formgrade"
    config.HTMLExporter.extra_template_basedirs = [handlers.template_path]
    path = course / "autograded" / "elder" / UNIT / f"{UNIT}.ipynb"
    page, _ = HTMLExporter(config=config).from_filename(str(path), resources=dict(ABOUT))
    return PageReader(page)


def live(page):
    """Return the elements that came to life out of what the student wrote."""
    signs = ("192.0.2.1", "onerror", "javascript:alert")
    return [one for one in page.elements if any(sign in str(one[1]) for sign in signs)]


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_what_was_written_does_not_come_to_life_on_the_stock_page(course):
    config = settings(named_course(course))
    page = form_page(course, config)
    assert live(page) == []
    first, *_ = HOSTILE.splitlines()
    assert first in page.words
    del config.HTMLExporter["preprocessors"]
    assert {tag for tag, _ in live(form_page(course, config))} >= {"img"}  # else nothing was shown


def test_a_course_folder_of_before_gets_the_setting_and_keeps_those_of_the_staff(course):
    path = course / CONFIG_FILE
    old = path.read_text().partition("\n# On the gradebook")[0] + "c.Exchange.root = '/srv/x'\n"
    path.write_text(old)
    make_course_folder(course, [UNIT])
    config = settings(named_course(course))
    assert config.HTMLExporter.preprocessors == ["instructor.release.text_as_text.TextAsText"]
    assert config.Exchange.root == "/srv/x"
    assert path.read_text().startswith(old.rstrip("\n"))
