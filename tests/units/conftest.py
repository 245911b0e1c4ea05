"""All tests of an exercise run on one worker: what many of them need is worked out once."""

from pathlib import Path

import pytest

HERE = Path(__file__).parent


def exercise_of(parameters):
    """Return the number of the exercise that a test is about; none where it is about a unit."""
    if "one" in parameters:
        return parameters["one"].exercise.id
    if "answer" in parameters:
        return parameters["answer"].exercise
    return parameters.get("number")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    for item in items:
        if item.path.parent == HERE and (number := exercise_of(item.callspec.params)):
            item.add_marker(pytest.mark.xdist_group(f"exercise {number}"))
