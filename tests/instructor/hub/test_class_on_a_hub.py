"""A class works on a real JupyterHub as the guide says: log in, fetch, mark, hand in, feedback."""

import csv
import json
import re

import pytest

from course_lib.exercises.registry import all_exercises
from hand_ins.hand_in_files import UNIT, points_of
from instructor.release.gradebook_tools import open_gradebook
from machines.class_on_hub import COURSE, EVENING, act, lines_to_type
from machines.hub_on_loopback import RefusedError, Visitor

pytestmark = pytest.mark.xdist_group("hub")  # one hub is enough
FULL = sum(one.points for one in all_exercises() if one.unit == UNIT)
STAMP = "timestamp.txt"


@pytest.fixture(scope="module")
def points(story, hub):
    """Return the points of each student who was graded, by machine."""
    points = {}
    with (hub.course / "results" / "scores.csv").open(newline="") as stream:
        for row in csv.DictReader(stream):
            if row["exercise"]:  # a folder that stays empty has a line of its own
                points[row["student"]] = points.get(row["student"], 0) + float(row["points"] or 0)
    return points


def seconds_late(course):
    with open_gradebook(f"sqlite:///{course / 'gradebook.db'}") as book:
        handed_in = book.assignment_submissions(UNIT)
        return {one.student_id: one.total_seconds_late for one in handed_in}


def page_of(story, hub, student):
    """Return the feedback page that a student fetched."""
    home = hub.machine.home(student)
    (page,) = (home / COURSE / UNIT / "feedback").glob("*/*.html")
    return page.read_text(encoding="utf-8")


def without_tags(page):
    return re.sub(r"<[^>]*>", "", page)


@pytest.mark.parametrize(("who", "password"), [("fennel", "its own"), ("alder", "another's")])
def test_who_is_in_no_course_or_has_no_password_stays_out(hub, who, password):
    words = {"its own": hub.machine.passwords[who], "another's": hub.machine.passwords["fennel"]}
    with pytest.raises(RefusedError):
        Visitor(hub.address, who).log_in(words[password])


def test_a_student_sees_the_course_of_the_own_group(story):
    assert story.courses == {"success": True, "value": [COURSE]}
    assert [(one["assignment_id"], one["status"]) for one in story.fetched] == [(UNIT, "fetched")]


def test_mark_runs_an_answer_in_a_kernel_behind_the_hub(story):
    assert "Exercise 1.1 · Read a 16-bit word · right · 2 of 2 points" in story.shown[-1]
    assert float(story.shown[-1].splitlines()[-1]) == points_of("1.1")


def test_progress_is_kept_for_the_course_and_not_handed_in(story, hub):
    kept = json.loads((hub.machine.home("alder") / COURSE / "progress.json").read_text())
    assert kept["1.1"]["best"] == points_of("1.1")
    handed_in = {path.name for path in (hub.course / "submitted" / "alder" / UNIT).iterdir()}
    assert handed_in == {f"{UNIT}.ipynb", STAMP, "submission_secret.txt"}


def test_everybody_gets_the_points_that_are_theirs(points):
    assert points == {"alder": FULL, "bracken": points_of("1.1"), "dill": 0}


def test_a_late_hand_in_stays_late(story, hub):
    late = seconds_late(hub.course)
    assert late["alder"] == 0
    assert 0 < late["bracken"] < 120


@pytest.fixture(scope="module")
def longer(story, hub):
    """Give bracken two days more, in a copy of the course; return how late everybody is there."""
    home = hub.machine.home("rowan")
    hub.machine.must("rowan", "cp", "-rT", home / "class", home / "longer")
    hub.staff("""\
        ~/hop-by-hop/.venv/bin/python - <<END
        from nbgrader.api import Gradebook
        with Gradebook("sqlite:///gradebook.db") as book:
            book.grant_extension("01-frames-and-headers", "bracken", days=2)
        END""", "longer/course")  # fmt: skip
    return seconds_late(home / "longer" / "course")


def test_who_gets_longer_is_late_no_more(longer):
    assert longer["bracken"] == 0


def test_feedback_comes_back_to_who_handed_in(story, hub):
    alder, bracken = (page_of(story, hub, student) for student in ("alder", "bracken"))
    assert "Exercise 1.6 · Build a UDP packet · right" in without_tags(alder)
    assert "Exercise 1.6 · Build a UDP packet · no answer" in without_tags(bracken)
    assert "bracken was here" in bracken
    assert "bracken was here" not in alder


def test_a_script_in_a_hand_in_is_text_on_its_page(story, hub):
    page = page_of(story, hub, "bracken")
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert" in page


def test_a_feedback_page_needs_nothing_from_elsewhere(story, hub):
    assert re.findall(r'(?:src|href)="(https?:[^"]*)', page_of(story, hub, "alder")) == []


@pytest.fixture
def pages_on(hub):
    """Switch the staff's pages on as the guide says, for as long as a test."""
    hub.staff("""\
        mkdir -p ~/.jupyter
        cp ~/hop-by-hop/instructor/hub/staff_server.json ~/.jupyter/jupyter_server_config.json
        cat > ~/.jupyter/nbgrader_config.py <<END
        c = get_config()
        c.CourseDirectory.root = "$HOME/class/course"
        load_subconfig("$HOME/class/course/nbgrader_config.py")
        END""")
    yield
    hub.machine.must("rowan", "rm", "-r", hub.machine.home("rowan") / ".jupyter")


@pytest.mark.usefixtures("story", "pages_on")
def test_the_staff_marks_words_and_sees_no_script(hub):
    rowan = hub.arrives("rowan")
    handed_in = rowan.mine("GET", f"formgrader/api/submissions/{UNIT}")
    assert {one["student"] for one in handed_in if one["autograded"]} == {
        "alder",
        "bracken",
        "dill",
    }
    pages = [
        rowan.ask("GET", f"/user/rowan/formgrader/submissions/{one['id']}/").text
        for one in rowan.mine("GET", f"formgrader/api/submitted_notebooks/{UNIT}/{UNIT}")
    ]
    (page,) = (page for page in pages if "bracken was here" in page)
    assert "<script>alert" not in page


def test_students_have_no_pages_for_marking(story):
    assert story.alder.ask("GET", "/user/alder/formgrader").status_code == 404


def test_a_second_course_goes_its_own_way(hub):
    elder = hub.arrives("elder")
    assert elder.mine("GET", "courses")["value"] == [EVENING]
    act(elder, "fetch", EVENING)
    act(elder, "submit", EVENING)
    said = hub.staff(f"nbgrader collect {UNIT} --update", "evening")
    assert f"Collecting submission: elder {UNIT}" in said
    assert "LOOK" not in said


def test_the_hub_is_a_machine_that_is_ready(hub):
    said = hub.machine.must("bracken", "hopbyhop", "check-machine")
    assert "This machine is ready for the workbooks." in said
    assert "ready    marking" in said


def test_the_library_is_the_installed_one_and_the_staff_s_part_is_nowhere(hub):
    done = hub.machine.run("bracken", "python", "-c", "import course_lib; print(course_lib)")
    assert str(hub.machine.folder / "course") in done.stdout
    done = hub.machine.run("bracken", "python", "-c", "import instructor")
    assert "ModuleNotFoundError: No module named 'instructor'" in done.stderr


NOT_TYPED = {
    "the test's own environment stands for the hub's: nothing is downloaded": (
        "python3 -m venv /opt/hub",
        "/opt/hub/bin/pip install 'jupyterhub>=5,<6' 'nbgrader>=0.9.5,<0.10' hop_by_hop-*.whl",
        "npm install -g 'configurable-http-proxy@~5.1'",
        "/opt/hub/bin/pip install --no-deps hop_by_hop-*.whl",
    ),
    "accounts and groups are in files that the test's machine begins with": (
        "addgroup nbgrader-hop-by-hop",
        "addgroup formgrade-hop-by-hop",
        "adduser --gecos '' rowan && adduser rowan nbgrader-hop-by-hop "
        "&& adduser rowan formgrade-hop-by-hop",
        "adduser --gecos '' alder && adduser alder nbgrader-hop-by-hop",
        "chmod 0700 /home/rowan /home/alder",
    ),
    "the test starts the hub at ports that are free, and there is no service at boot": (
        "cd /srv/jupyterhub && PATH=/opt/hub/bin:$PATH jupyterhub",
        "[Service]",
        "WorkingDirectory=/srv/jupyterhub",
        "Environment=PATH=/opt/hub/bin:/usr/local/bin:/usr/bin:/bin",
        "ExecStart=/opt/hub/bin/jupyterhub",
        "Restart=on-failure",
        "[Install]",
        "WantedBy=multi-user.target",
    ),
    "other tests go on with the course": ("rm -r /srv/nbgrader/exchange/hop-by-hop",),
}


@pytest.mark.usefixtures("story", "longer", "pages_on")
def test_every_line_of_the_guide_is_typed_or_there_is_a_reason(hub):
    left = {line for lines in NOT_TYPED.values() for line in lines}
    assert lines_to_type() - hub.typed == left
