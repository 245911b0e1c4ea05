"""What tests of marking share: a class that wrote answers in words."""

import pytest

from classes.class_of_writers import TEXTS, with_writers
from classes.graded_class import copy_of


@pytest.fixture(scope="module")
def written(bare_course, tmp_path_factory):
    """Make the class once; tests work on copies."""
    return with_writers(copy_of(bare_course, tmp_path_factory.mktemp("written")), TEXTS)


@pytest.fixture
def course(written, tmp_path):
    return copy_of(written, tmp_path)
