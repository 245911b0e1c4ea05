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


@pytest.fixture(scope="module", autouse=True)
def ten_thousand_answers(started_by_a_fork):
    """Fork each answer's process: it is cases that are tried here."""


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    """Group tests by exercise, and within a file let those of one exercise follow each other."""
    ours = [place for place, item in enumerate(items) if item.path.parent == HERE]
    numbers = {}
    for place in ours:
        item = items[place]
        if number := exercise_of(item.callspec.params):
            item.add_marker(pytest.mark.xdist_group(f"exercise {number}"))
        numbers[item] = tuple(map(int, number.split("."))) if number else ()
    in_order = sorted(numbers, key=lambda item: (item.path, numbers[item]))
    for place, item in zip(ours, in_order, strict=True):
        items[place] = item
