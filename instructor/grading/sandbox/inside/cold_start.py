"""Run one answer in a sandbox made for it alone. Runs inside the sandbox.

    python -m instructor.grading.sandbox.inside.cold_start BOUNDS PROGRAM

What `warm_server.py` does for a fork, for a process that has just been started: for
machines on which a sandbox can be made, but no new one inside it.
"""

__all__ = ["main"]

import importlib
import json
import sys

from instructor.grading.sandbox.inside import isolation
from instructor.grading.sandbox.inside.isolation import Bounds


def main() -> None:
    """Give up every right, then become the answer, or what else `PROGRAM` is."""
    isolation.close_all_but_standard_streams()
    isolation.drop_capabilities_for_programs()
    isolation.become_harmless(Bounds(*json.loads(sys.argv[1])))
    importlib.import_module(sys.argv[2]).main()


if __name__ == "__main__":
    main()
