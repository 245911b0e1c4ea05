"""Run one measurement as a program, a line of JSON for each row.

    python -m course_lib.live.measuring echo '{"destination": 3221225985, "count": 3}'

It ends with an error in words, and code 2, if the measurement cannot be made.
"""

import json
import sys
from collections.abc import Callable, Iterator
from typing import Any

from course_lib.live.measuring.echo import measure_echo
from course_lib.live.measuring.media import measure_stream, measure_stream_arrivals
from course_lib.live.measuring.path import measure_path
from course_lib.live.measuring.traffic import measure_traffic
from course_lib.live.measuring.transfer import measure_bulk, measure_bulk_arrivals

MEASUREMENTS: dict[str, Callable[..., Iterator[dict[str, Any]]]] = {
    "echo": measure_echo,
    "path": measure_path,
    "bulk": measure_bulk,
    "bulk_arrivals": measure_bulk_arrivals,
    "stream": measure_stream,
    "stream_arrivals": measure_stream_arrivals,
    "traffic": measure_traffic,
}


def main(words: list[str]) -> int:
    """Measure what the words say; return the exit code."""
    if len(words) not in (1, 2) or words[0] not in MEASUREMENTS:
        known = ", ".join(MEASUREMENTS)
        print(f"name a measurement, and its arguments as JSON: {known}", file=sys.stderr)
        return 2
    try:
        for row in MEASUREMENTS[words[0]](**json.loads(words[1] if words[1:] else "{}")):
            print(json.dumps(row), flush=True)
    except (OSError, TypeError, ValueError) as problem:
        print(f"{words[0]} cannot be measured: {problem}", file=sys.stderr)
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
