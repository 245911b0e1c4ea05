"""What the tests of grading share: a course folder that takes seconds to make."""

import pytest

from graded_class import make_course


@pytest.fixture(scope="session")
def bare_course(tmp_path_factory):
    """Make one course folder without hand-ins; tests grade copies of it, never itself."""
    return make_course(tmp_path_factory.mktemp("course"))
