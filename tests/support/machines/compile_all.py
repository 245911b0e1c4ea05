"""Compile what every process of a test run uses, once: the tests themselves, and the slow loops.

`python -m instructor test` runs this beside mypy, which leaves a processor free.
"""

import sys

import pytest

from course_lib.ferry.one_line import prepare_line
from course_lib.ferry.one_switch import prepare_switch
from course_lib.ferry.shared_line import Sharing, run_sharing

if __name__ == "__main__":
    collected = pytest.main(["--collect-only", "-qq"])
    prepare_line()
    prepare_switch()
    run_sharing(Sharing(1, 0), 10, to_s=1)  # its loop takes longer than all others together
    sys.exit(collected)
