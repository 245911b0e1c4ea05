"""What tests of whole runs share: a class before and after it was graded without a disturbance."""

import pytest

from classes.graded_class import copy_of, with_class
from course_lib.cli import main


@pytest.fixture(scope="session")
def ready(bare_course, tmp_path_factory):
    """Make the course folder of a small class, to be copied and graded."""
    return with_class(copy_of(bare_course, tmp_path_factory.mktemp("ready")))


@pytest.fixture(scope="session")
def undisturbed(ready, tmp_path_factory):
    """Grade the class in peace; what came of it is to be copied, or only looked at."""
    course = copy_of(ready, tmp_path_factory.mktemp("undisturbed"))
    assert main(["grade", str(course), "--trusted"]) == 0
    return course
