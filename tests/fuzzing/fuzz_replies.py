"""Fuzz the judge's side of an answer's pipe: `python tests/fuzzing/fuzz_replies.py 60` (seconds).

With names of files in place of seconds, these are checked. What is looked at, and what counts as a
fault, is in `tests/support/fuzzed/fuzzed_replies.py`.
"""

import sys

if __name__ == "__main__":
    from coverage_guided import main

    sys.exit(main(__file__, "fuzzed.fuzzed_replies"))
