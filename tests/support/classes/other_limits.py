"""Give answers less time, or less of something else, where the usual amount would show no more.

What never comes back shows that after any time. What honest answers compute here takes a thousandth
of what is left. That the usual limits hold is for the tests of the runner to say.
"""

import contextlib

import pytest

from course_lib.exercises import tried_answer
from course_lib.runner.runner import Limits


@contextlib.contextmanager
def other_limits(part=1.0, **more):
    """Let every answer that is tried in this process have a part of its time, and other limits."""

    def limits(case_s):
        return Limits(case_s=part * case_s, load_s=part * Limits().load_s, **more)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tried_answer, "Limits", limits)
        yield


def little_time(**more):
    """Let every answer that is tried in this process have a quarter of its time."""
    return other_limits(0.25, **more)
