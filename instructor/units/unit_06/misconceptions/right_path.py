"""The right answer to exercise 6.6 in parts, each of which a misconception bends."""

__all__ = [
    "Routes",
    "right_all",
    "right_destination",
    "right_length",
    "right_matches",
    "right_questions",
    "right_reason",
    "right_way",
]

Routes = list[tuple[str, str | None, str]]
Way = tuple[str | None, str]
Questions = dict[str, bool]


def right_number(address: str) -> int:
    """Return the number of an address."""
    return int.from_bytes(bytes(int(part) for part in address.split(".")), "big")


def right_destination(header: bytes) -> str:
    """Return the destination in dotted decimals."""
    return ".".join(str(octet) for octet in header[16:20])


def right_matches(routes: Routes, destination: str) -> Routes:
    """Return the routes that cover an address."""
    found = []
    for route in routes:
        network, length = route[0].split("/")
        free = 32 - int(length)
        if right_number(network) >> free == right_number(destination) >> free:
            found.append(route)
    return found


def right_length(route: tuple[str, str | None, str]) -> int:
    """Return the length of a route's prefix."""
    return int(route[0].split("/")[1])


def right_way(routes: Routes, destination: str) -> Way | None:
    """Return next hop and interface of the longest match."""
    matching = right_matches(routes, destination)
    return max(matching, key=right_length)[1:] if matching else None


def right_questions(
    header: bytes, own: list[str], way: Way | None, mtus: dict[str, int], known: list[str]
) -> Questions:
    """Ask everything; True is a reason to leave the fast path."""
    destination = right_destination(header)
    next_hop, interface = way or (None, "")
    total = int.from_bytes(header[2:4], "big")
    return {
        "for the router": destination in own,
        "no route": way is None,
        "time to live exceeded": header[8] <= 1,
        "options": header[0] & 15 > 5,
        "too large": way is not None and total > mtus[interface],
        "unknown neighbour": (next_hop or destination) not in known,
    }


def right_reason(questions: Questions, *first: str) -> str | None:
    """Return the first reason that applies; some may be asked before the others."""
    order = [*first, *(reason for reason in questions if reason not in first)]
    return next((reason for reason in order if questions[reason]), None)


def right_all(
    header: bytes, own: list[str], routes: Routes, mtus: dict[str, int], known: list[str]
) -> Questions:
    """Ask everything about the way of the longest match."""
    way = right_way(routes, right_destination(header))
    return right_questions(header, own, way, mtus, known)
