"""Follow the next hops of all routers towards one destination, and see whether packets go round.

Each router decides alone. Whether the decisions fit together is visible only from above, where all
tables lie side by side; no router can check it.
"""

__all__ = ["find_loop", "routers_that_deliver"]

from collections.abc import Collection, Mapping


def find_loop(next_hops: Mapping[str, Collection[str]]) -> tuple[str, ...] | None:
    """Return routers that send packets in a circle, or None.

    `next_hops` gives, for one destination, the routers to which each router may send. Every choice
    among equal ones counts, so a loop that only some packets would take is found too.

    >>> find_loop({"Plover": ["Curlew"], "Curlew": ["Sandpiper"], "Sandpiper": ["Curlew"]})
    ('Curlew', 'Sandpiper')
    """
    done: set[str] = set()
    for start in next_hops:
        loop = _search(next_hops, start, done)
        if loop is not None:
            return loop
    return None


def routers_that_deliver(
    next_hops: Mapping[str, Collection[str]], owners: Collection[str]
) -> set[str]:
    """Return the routers whose packets reach one of the `owners`, whichever way they choose."""
    delivering = set(owners)
    grown = True
    while grown:
        more = {
            router
            for router, choices in next_hops.items()
            if router not in delivering and choices and set(choices) <= delivering
        }
        delivering |= more
        grown = bool(more)
    return delivering


def _search(
    next_hops: Mapping[str, Collection[str]], start: str, done: set[str]
) -> tuple[str, ...] | None:
    """Walk from `start` into the depth; `done` holds routers known to lead into no loop."""
    path: list[str] = []
    todo = [(start, 0)]  # a router, and how long the path to it is
    while todo:
        router, depth = todo.pop()
        done.update(path[depth:])
        del path[depth:]
        if router in path:
            return tuple(path[path.index(router) :])
        if router not in done:
            path.append(router)
            todo += [(following, len(path)) for following in next_hops.get(router, ())]
    done.update(path)
    return None
