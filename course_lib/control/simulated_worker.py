"""The process in which a simulated network runs: `python -m course_lib.control.simulated_worker`.

It reads one line of JSON after the other and answers each with one. The first line says where the
router stands and how it is made. Time passes as on the clock of the wall while somebody asks for
the state now and then, and stands still while nobody does. When nobody holds the other end any
more, the process ends, whatever it is doing.
"""

__all__ = ["STANDS_STILL_AFTER_S", "main"]

import json
import os
import queue
import sys
import threading
import time
from typing import Any, TextIO

from course_lib.control.ferry_traffic import ferry_with_traffic
from course_lib.live.carrying.recipes import recipe_of
from course_lib.steering.changes import SteeringError
from course_lib.steering.paced_network import PacedNetwork
from course_lib.steering.plain_data import as_plain, change_of

STEP_S = 0.02
MOST_AT_ONCE_S = 0.1  # after a rest: time that nobody saw is not made up for
STANDS_STILL_AFTER_S = 3.0
AT_FIRST_S = 2.0  # so that there is something to see at once

Orders = queue.Queue[dict[str, Any]]


def main() -> None:
    """Do what is asked on standard input until that ends."""
    # Only answers leave by the first output: what a student's router prints goes to the second.
    answers = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)
    orders: Orders = queue.Queue()
    threading.Thread(target=_listen, args=(orders,), daemon=True).start()
    first = orders.get()
    try:
        network = ferry_with_traffic(recipe_of(first["recipe"]), first["place"])
    except (ValueError, SystemExit) as problem:
        _answer(answers, {"failed": str(problem)})
        return
    paced = PacedNetwork(network, first["place"])
    paced.go_on(AT_FIRST_S)
    _answer(answers, {"ready": True})
    _run(paced, orders, answers)


def _run(paced: PacedNetwork, orders: Orders, answers: TextIO) -> None:
    seen_s = asked_s = time.monotonic()
    while True:
        is_watched = seen_s - asked_s < STANDS_STILL_AFTER_S
        try:
            order = orders.get(timeout=STEP_S if is_watched else None)
        except queue.Empty:
            order = None
        now_s = time.monotonic()
        paced.go_on(min(now_s - seen_s, MOST_AT_ONCE_S))
        seen_s = now_s
        if order is not None:
            asked_s = now_s
            _answer(answers, {"number": order.get("number")} | _done(paced, order))


def _done(paced: PacedNetwork, order: dict[str, Any]) -> dict[str, Any]:
    try:
        if "change" in order:
            paced.change(change_of(order["change"]))
            return {"done": True}
        return {"state": as_plain(paced.state())}
    except SteeringError as problem:
        return {"problem": str(problem)}


def _listen(orders: Orders) -> None:
    """Hand on what is asked. At the end of it end all, though a router may be in a loop."""
    for line in sys.stdin:
        orders.put(json.loads(line))
    os._exit(0)


def _answer(answers: TextIO, answer: dict[str, Any]) -> None:
    answers.write(json.dumps(answer) + "\n")
    answers.flush()


if __name__ == "__main__":
    main()
