"""One class on one hub, from the release to the feedback; the tests look at what came of it.

What the administrator and the staff do is what the guide for hubs says, line by line.
"""

import datetime
import os
import time
import zipfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from types import SimpleNamespace

import pytest

from classes.graded_class import RIGHT
from hand_ins.hand_in_files import UNIT
from instructor.release.bundle import build_wheel
from instructor.release.workbook_files import model_answers
from machines.class_on_hub import COURSE, EVENING, EXCHANGE, ClassOnHub, act, up_to, write_answers
from machines.hub_on_loopback import running_hub
from machines.private_machine import private_machine, why_not

ACCOUNTS = {
    "rowan": [f"nbgrader-{COURSE}", f"formgrade-{COURSE}", f"nbgrader-{EVENING}"],
    "alder": [f"nbgrader-{COURSE}"],
    "bracken": [f"nbgrader-{COURSE}"],
    "clover": [f"nbgrader-{COURSE}"],
    "dill": [f"nbgrader-{COURSE}"],
    "elder": [f"nbgrader-{EVENING}"],
    "fennel": [],
}
CLOSE = """\
    chgrp nbgrader-hop-by-hop /srv/nbgrader/exchange/hop-by-hop
    chmod 0750 /srv/nbgrader/exchange/hop-by-hop
    chmod 3733 /srv/nbgrader/exchange/hop-by-hop/inbound
"""
SCRIPT = "<script>alert('bracken was here')</script>"


@pytest.fixture(scope="session")
def machine(need):
    """Make a machine with seven accounts, on which the hub's programs can run."""
    problem = why_not()
    if problem:
        (pytest.fail if os.environ.get("CI") == "true" else pytest.skip)(problem)
    need("openssl", "apt-get install openssl")
    need("bwrap", "apt-get install bubblewrap")
    node = need("node", "apt-get install nodejs")
    with private_machine(ACCOUNTS, "rowan", [node, _proxy(need)]) as made:
        with zipfile.ZipFile(build_wheel(made.folder / "course")) as wheel:
            wheel.extractall(made.folder / "course")
        yield made


def _proxy(need):
    found = need("configurable-http-proxy", "npm install -g 'configurable-http-proxy@~5.1'")
    return str(Path(found).resolve())


@pytest.fixture(scope="session")
def hub(machine, need):
    """Set up the hub and the exchange as the guide says, release, and start the hub."""
    made = ClassOnHub(machine)
    made.administrator("mkdir -p /srv/nbgrader/exchange\nchmod 1777 /srv/nbgrader/exchange")
    settings = made.install_settings()
    made.administrator(
        "/opt/hub/bin/jupyter server extension disable --sys-prefix "
        "nbgrader.server_extensions.formgrader"
    )
    made.administrator("""\
        /opt/hub/bin/jupyter labextension disable --level=sys_prefix @jupyter/nbgrader:formgrader \\
            @jupyter/nbgrader:create-assignment @jupyterlab/apputils-extension:announcements""")
    made.staff(f"~/hop-by-hop/.venv/bin/hopbyhop release ~/class --units {UNIT}", "")
    made.staff(
        "cat ~/hop-by-hop/instructor/hub/course_config.py >> ~/class/course/nbgrader_config.py", ""
    )
    _copy_for_the_evening(made)
    for place, course in (("class/course", COURSE), ("evening", EVENING)):
        made.staff(f"nbgrader release_assignment {UNIT}", place)
        made.staff(CLOSE, place, course=(COURSE, course))
    with running_hub(machine, settings, _proxy(need)) as made.address:
        yield made


def _copy_for_the_evening(made):
    """Make the folder of a second course with an id of its own; quicker than another release."""
    settings = made.machine.home("rowan") / "evening" / "nbgrader_config.py"
    made.machine.must("rowan", "cp", "-r", made.course, settings.parent)
    text = settings.read_text()
    settings.write_text(text.replace(f'course_id = "{COURSE}"', f'course_id = "{EVENING}"'))


@pytest.fixture(scope="session")
def story(hub):
    """Let the class work, hand in and cheat; collect, grade, and give feedback back."""
    with ThreadPoolExecutor() as together:
        alder, bracken = together.map(hub.arrives, ("alder", "bracken"))
    seen = SimpleNamespace(alder=alder, bracken=bracken, courses=alder.mine("GET", "courses"))
    seen.fetched = act(alder, "fetch")
    cells = write_answers(alder, model_answers(UNIT))
    seen.shown = alder.run_cells(f"{COURSE}/{UNIT}", up_to(cells, "mark-1-1"))
    seen.submitted = act(alder, "submit")
    due = datetime.datetime.now(datetime.UTC).strftime("%Y-%m-%d %H:%M:%S.%f UTC")
    hub.staff(
        f'nbgrader db assignment add {UNIT} --duedate="2027-03-01 12:00:00 UTC"',
        due=("2027-03-01 12:00:00 UTC", due),
    )
    time.sleep(0.01)
    act(bracken, "fetch")
    write_answers(bracken, {"answer-1-1": RIGHT, "explain-1": f"Because. {SCRIPT}"})
    act(bracken, "submit")
    _cheat(hub)
    seen.collected = hub.staff(f"nbgrader collect {UNIT} --update")
    seen.graded = hub.staff("~/hop-by-hop/.venv/bin/hopbyhop grade ~/class/course")
    hub.staff(f"nbgrader generate_feedback {UNIT} --force")
    seen.released = hub.staff(f"nbgrader release_feedback {UNIT}")
    seen.feedback = {one.name: act(one, "fetch_feedback") for one in (alder, bracken)}
    return seen


def _cheat(hub):
    """Let clover hand in for alder, and link to the answers; let dill write an old time stamp."""
    late = "2031-01-01 00:00:00.0 UTC+AAAAAAAAAAAA"
    clover = f"""
        set -e; umask 022; cd {EXCHANGE}/{COURSE}/inbound
        mkdir 'alder+{UNIT}+{late}' 'clover+{UNIT}+{late}'
        cp ../outbound/{UNIT}/{UNIT}.ipynb 'alder+{UNIT}+{late}'
        ln -s {hub.course}/source/{UNIT}/{UNIT}.ipynb 'clover+{UNIT}+{late}'
        mkdir 'clover+{UNIT}+no time at all+BBBBBBBBBBBB'"""
    dill = f"""
        umask 022; cd {EXCHANGE}/{COURSE}
        old='inbound/dill+{UNIT}+2020-01-01 00:00:00.0 UTC+CCCCCCCCCCCC'
        cp -r outbound/{UNIT} "$old" && touch "$old/nbgrader_config.py" """
    hub.machine.must("clover", "/bin/sh", "-c", clover)
    hub.machine.must("dill", "/bin/sh", "-c", dill)
