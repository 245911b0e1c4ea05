"""Is a text taken in without much work? Told by a peer, so that slow machines say the same."""

import ast
import time
from collections.abc import Iterator
from contextlib import contextmanager

LITTLE_S = 5.0  # of the processor, for a text of at most a mebioctet; honest ones take a hundredth
MOST_PEERS = 30  # what takes longer may be on a slow machine: then it takes less than so many of
PEER = "a = b\n" * 50_000  # this text, read and walked


@contextmanager
def in_little_time(octets: bytes) -> Iterator[None]:
    """Refuse what takes the processor too long for so many octets."""
    start = time.process_time()
    yield
    spent = time.process_time() - start
    if spent > LITTLE_S:
        assert spent < MOST_PEERS * _peer_s(), f"{spent:.1f} s for {len(octets)} octets"


def _peer_s() -> float:
    start = time.process_time()
    assert sum(1 for _ in ast.walk(ast.parse(PEER))) > len(PEER) / 6
    return time.process_time() - start
