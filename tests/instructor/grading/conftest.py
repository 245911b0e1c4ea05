"""What the tests of grading share: a course folder that takes seconds to make."""

import pytest

from graded_class import make_course
from instructor.grading import sandboxed_run


@pytest.fixture(scope="session")
def bare_course(tmp_path_factory):
    """Make one course folder without hand-ins; tests grade copies of it, never itself."""
    return make_course(tmp_path_factory.mktemp("course"))


@pytest.fixture(scope="module")
def walls_tried_once():
    """Try the sandbox's walls at the first run of a file alone: its own tests are elsewhere."""
    real, found = sandboxed_run.probe, []

    def probe(*given, **named):
        found[:] = found or [real(*given, **named)]
        return found[0]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sandboxed_run, "probe", probe)
        yield
