"""What a student may try on a hub, tried with that student's own account.

Where the guide says that nbgrader by itself would let something through, that is tried too.
"""

import json

import pytest

from hand_ins.hand_in_files import UNIT
from instructor.release.workbook_files import model_answers
from machines.class_on_hub import COURSE, EXCHANGE

pytestmark = pytest.mark.xdist_group("hub")  # one hub is enough
REFUSED = ("Permission denied", "Operation not permitted")
ROWAN, ALDER = "$HOMES/rowan", "$HOMES/alder"
PLANTED = "+AAAAAAAAAAAA"  # as clover names it; the hub's own names end by chance
INBOUND = f"{EXCHANGE}/{COURSE}/inbound"


@pytest.mark.parametrize(
    ("who", "tried"),
    [
        pytest.param("bracken", f"cat {ALDER}/{COURSE}/{UNIT}/{UNIT}.ipynb", id="workbook"),
        pytest.param("bracken", f"ls {ALDER}/.local/share/jupyter/nbgrader_cache", id="secrets"),
        pytest.param("bracken", f"ls {INBOUND}", id="hand-ins"),
        pytest.param("bracken", f"ls {EXCHANGE}/{COURSE}/feedback", id="feedback"),
        pytest.param("bracken", f"cat {ROWAN}/class/course/batch.json", id="seed"),
        pytest.param("bracken", f"cat {ROWAN}/class/course/gradebook.db", id="gradebook"),
        pytest.param("bracken", f"ls {ROWAN}/class/course/source", id="answers"),
        pytest.param("bracken", f"ls {ROWAN}/hop-by-hop/instructor", id="checkout"),
        pytest.param("bracken", f"mv {EXCHANGE}/{COURSE} {EXCHANGE}/mine", id="move-course"),
        pytest.param("bracken", f"mv {INBOUND} {EXCHANGE}/mine", id="move-folder"),
        pytest.param("bracken", f"touch {EXCHANGE}/{COURSE}/outbound/{UNIT}/x", id="add-to-course"),
        pytest.param("bracken", f"mv '$HAND_IN' {INBOUND}/x", id="move-a-hand-in-by-its-name"),
        pytest.param("elder", f"ls {EXCHANGE}/{COURSE}/outbound", id="other-course"),
        pytest.param("elder", f"touch {INBOUND}/x", id="hand-in-to-other-course"),
    ],
)
def test_the_system_says_no(story, hub, who, tried):
    every = (hub.machine.folder / INBOUND.lstrip("/")).glob(f"alder+{UNIT}+2???-*UTC+*")
    (hand_in,) = (one for one in every if not one.name.endswith(PLANTED))
    command = tried.replace("$HOMES", str(hub.machine.folder / "homes"))
    done = hub.machine.run(who, "/bin/sh", "-c", command.replace("$HAND_IN", str(hand_in)))
    assert done.returncode != 0
    assert any(word in done.stderr for word in REFUSED), done.stderr


def test_a_server_is_closed_to_other_students(story):
    assert story.bracken.ask("GET", "/user/alder/api/contents").status_code == 403
    assert story.bracken.ask("GET", "/hub/api/users").status_code == 403


def test_a_hand_in_under_another_s_name_is_not_taken(story, hub):
    assert "bears the name alder, but clover wrote it" in story.collected
    assert sources(hub.course, "alder") >= set(model_answers(UNIT).values())


def test_a_link_to_the_answers_is_not_followed(story, hub):
    assert f"left out of the hand-in of clover: {UNIT}.ipynb: not a plain file" in story.collected
    assert [one.name for one in (hub.course / "submitted/clover" / UNIT).iterdir()] == [
        "timestamp.txt"
    ]


def test_a_time_that_is_none_and_one_that_is_too_early_are_said(story):
    assert "no time at all+BBBBBBBBBBBB cannot be read" in story.collected
    assert "the hand-in of dill is stamped 2020-01-01 00:00:00.0 UTC, but a file" in story.collected
    assert "the hand-in of bracken is stamped" not in story.collected


def test_settings_in_a_hand_in_are_left_where_they_are(story, hub):
    dill = hub.course / "submitted/dill" / UNIT
    assert {one.name for one in dill.iterdir()} == {f"{UNIT}.ipynb", "timestamp.txt"}


def test_nbgrader_by_itself_takes_all_of_that(story, hub):
    """If this fails, nbgrader has become more careful: then the guide says too much."""
    machine, stock = hub.machine, hub.machine.home("rowan") / "stock"
    own = (
        f"nbgrader collect {UNIT} --Exchange.root=/srv/stock"
        " --ExchangeFactory.collect=nbgrader.exchange.default.ExchangeCollect"
    )
    machine.must("root", "cp", "-a", EXCHANGE, "/srv/stock")
    machine.must("rowan", "cp", "-r", hub.course, stock)
    machine.must("rowan", "rm", "-r", stock / "submitted")
    failed = machine.run("rowan", "/bin/sh", "-c", own, cwd=stock)
    assert failed.returncode != 0
    assert not (stock / "submitted").exists()
    machine.must("root", "/bin/sh", "-c", f"rm -r /srv/stock/{COURSE}/inbound/*BBBBBBBBBBBB")
    machine.must("rowan", "/bin/sh", "-c", own, cwd=stock)
    assert sources(stock, "alder").isdisjoint(model_answers(UNIT).values())
    assert (stock / "submitted/dill" / UNIT / "nbgrader_config.py").exists()
    assert "### BEGIN SOLUTION" in "".join(sources(stock, "clover"))


def test_feedback_on_an_older_hand_in_is_not_given_for_the_newest(story, hub):
    machine, other = hub.machine, hub.machine.home("rowan") / "other"
    machine.must("rowan", "cp", "-rp", hub.course, other)
    stamp = other / "submitted" / "alder" / UNIT / "timestamp.txt"
    stamp.write_text("2030-01-01 00:00:00.0 UTC")
    (other / "submitted" / "bracken" / UNIT / "submission_secret.txt").unlink()
    said = hub.staff(f"nbgrader release_feedback {UNIT}", "other")
    assert "no feedback for alder: its newest hand-in is not graded yet" in said
    assert "no feedback for bracken: it was not handed in by the exchange" in said
    assert "Releasing feedback" not in said


def test_feedback_pages_older_than_the_grading_are_not_given(story, hub):
    machine, again = hub.machine, hub.machine.home("rowan") / "again"
    machine.must("rowan", "cp", "-rp", hub.course, again)
    machine.must("rowan", "touch", again / "autograded" / "alder" / UNIT / f"{UNIT}.ipynb")
    said = hub.staff(f"nbgrader release_feedback {UNIT}", "again")
    assert "no feedback for alder: graded again since the page was made" in said
    assert "Releasing feedback for student 'bracken'" in said


def sources(course, student):
    """Return the sources of all cells of what was collected from a student."""
    path = course / "submitted" / student / UNIT / f"{UNIT}.ipynb"
    return {"".join(cell["source"]) for cell in json.loads(path.read_text())["cells"]}
