"""How the process of a router ends, in words.

Most endless loops are ended inside (`course_lib.runner.time_limit`), and the process goes on. Some
cannot be, such as one long operation of Python's own. For these the kernel has an alarm clock that
counts the process's computing time: it is wound up anew in each turn of the loop, and if it rings,
the kernel ends the process, whatever it does.
"""

__all__ = ["HARD_LIMIT_S", "why_it_ended", "wind_up"]

import signal

HARD_LIMIT_S = 3.0  # of computing without one turn of the loop


def wind_up(limit_s: float = HARD_LIMIT_S) -> None:
    """Let the kernel end this process after so much computing time, unless this is called again."""
    signal.setitimer(signal.ITIMER_PROF, limit_s)


def why_it_ended(return_code: int) -> str:
    """Say why a router's process ended; `return_code` as `subprocess` gives it.

    >>> why_it_ended(0)
    'it was stopped'
    """
    if return_code == 0:
        return "it was stopped"
    if return_code == -signal.SIGPROF:
        return (
            f"it computed for {HARD_LIMIT_S:g} s without an end in one call and could not be "
            "interrupted, so its process was ended"
        )
    if return_code < 0:
        return f"its process was ended by the signal {signal.Signals(-return_code).name}"
    return f"its process ended with an error (exit code {return_code})"
