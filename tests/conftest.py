"""What tests share: tools that a machine may lack, and a real browser."""

import gc
import os
import shutil
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from course_lib.runner import runner
from machines.forked_answers import forked_answers
from pages.chromium import KEPT

# No test has a clock: a machine that is ten times slower passes too.
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")

TESTS = Path(__file__).parent
GROUP = "xdist_group"
MANY = 20  # tests in a module; with each a unit of its own, to hand them out takes longer, too
LONG_RUN_S, FILES_TOLD = 600, 60
ID_LIMIT, ID_HEAD = 120, 40  # characters


@pytest.fixture(scope="session", autouse=True)
def no_wait_for_the_disk() -> Iterator[None]:
    """Go on before what was written is on the disk itself: no test pulls the plug.

    That a disk which refuses is noticed, tests try with an `fsync` of their own.
    """
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "fsync", lambda descriptor: None)
        yield


@pytest.fixture(scope="session")
def need() -> Callable[[str, str], str]:
    """Return a function that finds a program, or skips the test and says how to get it.

    In continuous integration nothing is skipped: there, a missing program is a failure.
    """

    def find(program: str, mend: str) -> str:
        path = shutil.which(program)
        if path:
            return path
        message = f"{program} is not on this machine: {mend}"
        if os.environ.get("CI") == "true":
            pytest.fail(message)
        pytest.skip(message)

    return find


@pytest.hookimpl(tryfirst=True)  # before groups are looked at
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Let one process run all tests with a browser, one module after the other.

    And all tests of a module that share what is made once for it, or are many: else each process
    makes it. What is left, one by one, comes last, and keeps all processes at work to the end.
    """
    sizes = Counter(item.path for item in items)
    for item in items:
        if item.get_closest_marker(GROUP):
            continue
        if "browser" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.xdist_group("browser"))
        elif sizes[item.path] >= MANY or shares_with_its_module(item):
            item.add_marker(pytest.mark.xdist_group(item.nodeid.partition("::")[0]))


def shares_with_its_module(item: pytest.Item) -> bool:
    """Tell whether a test uses a fixture of its own module that lives as long as that."""
    module = item.nodeid.partition("::")[0]
    known = getattr(getattr(item, "_fixtureinfo", None), "name2fixturedefs", {})
    return any(
        one.scope == "module" and one.baseid == module for some in known.values() for one in some
    )


def pytest_make_parametrize_id(val: object) -> str | None:
    """Name a long parameter by its head and its length: names are sent with every report.

    A file that is too large to be read would have a name of millions of letters.
    """
    if not isinstance(val, str | bytes) or len(val) <= ID_LIMIT:
        return None
    head = val[:ID_HEAD]
    return f"{head if isinstance(head, str) else ascii(head)[2:-1]} and so on, {len(val)} in all"


def pytest_configure(config: pytest.Config) -> None:
    """Ask, of all folders, whether a module has examples; a hook here is asked of tests alone."""
    config.pluginmanager.register(ExamplesOnly())


@pytest.hookimpl(wrapper=True)
def pytest_collection():
    """Collect without collections of garbage in between: there is none, and a lot to look at."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.enable()


class ExamplesOnly:
    """Looks for examples where there are any: that is in one module of seven."""

    @pytest.hookimpl
    def pytest_ignore_collect(self, collection_path: Path) -> bool | None:
        """Pass over modules without examples; other tests import them."""
        is_passed_over = (
            collection_path.suffix == ".py"
            and not collection_path.is_relative_to(TESTS)
            and b">>>" not in collection_path.read_bytes()
        )
        return True if is_passed_over else None


@pytest.hookimpl(wrapper=True)
def pytest_collect_file():
    """Look for no examples in the texts of tests: there are none, and to import all takes long."""
    found = yield
    return [one for one in found if type(one) is pytest.Module]


def pytest_collection_finish():
    """Let no later collection of garbage look at what was collected: all tests, for good."""
    gc.collect()
    gc.freeze()


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say which files of tests took longest: a long run is a sum of them."""
    took = Counter()
    for reports in terminalreporter.stats.values():
        for one in reports:
            if isinstance(one, pytest.TestReport):
                took[one.nodeid.partition("::")[0]] += one.duration
    if took.total() < LONG_RUN_S:
        return
    terminalreporter.section(f"{took.total():.0f} s in tests, by file")
    for name, seconds in took.most_common(FILES_TOLD):
        terminalreporter.line(f"{seconds:6.0f} s  {name}")


@pytest.fixture(scope="session")
def forks():
    """Start the process that answers are forked from."""
    with forked_answers() as waiting:
        yield waiting


@pytest.fixture(scope="module")
def started_by_a_fork(forks):
    """Fork each answer's process: for modules that look at what answers return."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(runner, "start_here", forks.launch)
        yield


@pytest.fixture(scope="module")
def browser(need):
    """Lend a headless Chromium to the tests of a module that look at pages."""
    with KEPT.lent(need) as running:
        yield running


@pytest.hookimpl(wrapper=True)
def pytest_runtest_teardown(item: pytest.Item, nextitem: pytest.Item | None):
    """End the browser behind a module, where the next test has no need of it.

    While it is there, an event loop runs in this thread, and tests that need one of their own, or
    want to be interrupted, go wrong.
    """
    try:
        return (yield)
    finally:
        is_over = nextitem is None or nextitem.path != item.path
        if is_over and "browser" not in getattr(nextitem, "fixturenames", ()):
            KEPT.end()
