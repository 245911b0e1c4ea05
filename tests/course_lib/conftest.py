"""What tests of several chapters share: a machine that can have private networks."""

import os

import pytest

from course_lib.live.ability import live_ability


@pytest.fixture(scope="session")
def live():
    """Skip the test where no private network can be had, and say why; in CI that is a failure."""
    ability = live_ability()
    if not ability.is_there:
        if os.environ.get("CI") == "true":
            pytest.fail(repr(ability))
        pytest.skip(repr(ability))
