"""What tests of the staff's side share: results made by hand, a look at a page, a bare course."""

import contextlib
import functools
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING

import pytest
from nbgrader import api
from sqlalchemy import Engine, event

from classes.cases_once import here_if_it_ends
from classes.graded_class import make_course
from course_lib.exercises.registry import Case
from hand_ins import hand_made
from instructor.grading import examiner
from instructor.grading.sandbox import sandboxed_run
from instructor.grading.sandbox.probe import Wall
from instructor.release import bundle
from instructor.units.items import item
from pages import page_reader

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Dialog

TWO_FRAMES = "new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"


@pytest.fixture(scope="session", autouse=True)
def own_key(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Let course folders be sealed with a key of these tests' own, not of whoever runs them."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CONFIG_HOME", str(tmp_path_factory.mktemp("config")))
        yield


@pytest.fixture(scope="session", autouse=True)
def no_wait_for_gradebooks() -> Iterator[None]:
    """Go on before a gradebook in a file is on the disk itself: no test pulls the plug."""

    def go_on(connection: object, _: object) -> None:
        if isinstance(connection, sqlite3.Connection):
            with contextlib.suppress(sqlite3.DatabaseError):  # whoever uses it next will be told
                connection.execute("PRAGMA synchronous = OFF")

    event.listen(Engine, "connect", go_on)
    yield
    event.remove(Engine, "connect", go_on)


@pytest.fixture(scope="session", autouse=True)
def version_of_gradebooks_once() -> Iterator[None]:
    """Ask once which form new gradebooks have: the answer takes a process of its own each time."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(api, "get_alembic_version", functools.cache(api.get_alembic_version))
        yield


@pytest.fixture(scope="session", autouse=True)
def secret_cases_once() -> Iterator[None]:
    """Work out the secret cases of an exercise once for each seed, and in this process.

    In processes of its known answers' own, those of a unit take ten seconds. Commands that are run
    as commands work them out so.
    """
    worked_out = examiner.secret_cases

    @functools.cache
    def kept(exercise_id: str, seed: str) -> tuple[Case, ...]:
        one = item(exercise_id)
        return worked_out(one, seed, here_if_it_ends(one))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(examiner, "secret_cases", lambda one, seed: kept(one.exercise.id, seed))
        yield


@pytest.fixture(scope="session", autouse=True)
def wheel_once(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Build the library's wheel once for each number of a release; it is the same for all."""

    @functools.cache
    def built(number: int) -> Path:
        return real(tmp_path_factory.mktemp("wheel"), number)

    real = bundle.build_wheel

    @functools.wraps(real)  # which is still there, as `__wrapped__`
    def copied(folder: Path, number: int = 1) -> Path:
        return Path(shutil.copy(built(number), folder))

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(bundle, "build_wheel", copied)
        yield


@pytest.fixture(scope="session")
def made() -> ModuleType:
    """Give the module `hand_made`."""
    return hand_made


@pytest.fixture(scope="session")
def pages() -> ModuleType:
    """Give the module `page_reader`."""
    return page_reader


@pytest.fixture
def own_wording(made: ModuleType) -> Iterator[None]:
    """Use the wording of `hand_made.py` in place of the course's."""
    with made.wording():
        yield


@pytest.fixture
def looked_at(browser: "Browser") -> Callable[[Path], dict[str, list[str]]]:
    """Give a function that opens a page, pokes at it, and tells what ran and what was fetched."""

    def look(path: Path) -> dict[str, list[str]]:
        seen: dict[str, list[str]] = {"scripts": [], "requests": [], "dialogs": [], "blocked": []}

        def note_dialog(dialog: "Dialog") -> None:
            seen["dialogs"].append(dialog.message)
            dialog.dismiss()

        page = browser.new_page()
        page.on("request", lambda request: seen["requests"].append(request.url))
        page.on("dialog", note_dialog)
        page.on("console", lambda message: seen["blocked"].append(message.text))
        watch = page.context.new_cdp_session(page)
        watch.on("Debugger.scriptParsed", lambda event: seen["scripts"].append(event["url"]))
        watch.send("Debugger.enable")
        page.goto(path.as_uri(), wait_until="load")
        for key in ("Tab",) * 12 + ("Enter",):
            page.keyboard.press(key)
        page.mouse.move(300, 300)
        page.mouse.click(300, 400)
        page.evaluate(TWO_FRAMES)
        page.close()
        seen["scripts"] = [url for url in seen["scripts"] if url]  # the driver's own have none
        return seen

    return look


@pytest.fixture(scope="session")
def bare_course(own_key, tmp_path_factory):
    """Make one course folder without hand-ins; tests grade copies of it, never itself."""
    return make_course(tmp_path_factory.mktemp("course"))


@pytest.fixture(scope="session")
def walls_found() -> list[tuple[Wall, ...]]:
    """Keep what was found where the sandbox's walls were tried."""
    return []


@pytest.fixture(scope="module")
def walls_tried_once(walls_found):
    """Try the sandbox's walls at the first run of all alone: their own tests are elsewhere."""
    real = sandboxed_run.probe

    def probe(*given, **named):
        walls_found[:] = walls_found or [real(*given, **named)]
        return walls_found[0]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sandboxed_run, "probe", probe)
        yield
