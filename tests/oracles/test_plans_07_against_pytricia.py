"""Plans of the model answer to 7.5, made in PyTricia change by change: every address is asked.

PyTricia is a Patricia trie written in C. What is promised is checked here as the contract says it,
for every address of a /24, and not for those alone that the answer looks at.
"""

import random

import pytest
import pytricia

from instructor.units.unit_07.answers import plan_changes

NETWORK = 203 << 24 | 113 << 8  # 203.0.113.0/24 (RFC 5737): its 256 addresses can all be asked
OUTSIDE = "198.51.100.7"  # which only a default route covers


def text(address: int) -> str:
    return ".".join(str(octet) for octet in address.to_bytes(4, "big"))


ADDRESSES = [*(text(NETWORK | low) for low in range(256)), OUTSIDE]


def random_table(rng: random.Random) -> dict[str, str]:
    table = {"0.0.0.0/0": rng.choice("RGP")} if rng.random() < 0.4 else {}
    for _ in range(rng.randint(0, 6)):
        length = rng.randint(24, 28)
        address = (NETWORK | rng.getrandbits(8)) >> 32 - length << 32 - length
        table[f"{text(address)}/{length}"] = rng.choice("RGP")
    return table


def trie_of(table: dict[str, str]) -> pytricia.PyTricia:
    trie = pytricia.PyTricia(32)
    for prefix, hop in table.items():
        trie[prefix] = hop
    return trie


def hops(trie: pytricia.PyTricia) -> list[str | None]:
    return [trie.get(address) for address in ADDRESSES]


@pytest.mark.parametrize("seed", range(25))
def test_a_plan_never_sends_a_packet_elsewhere(seed: int) -> None:
    rng = random.Random(seed)
    old, new = random_table(rng), random_table(rng)
    table, before, wanted = trie_of(old), hops(trie_of(old)), hops(trie_of(new))
    plan = plan_changes(old, new)
    for prefix, hop in plan:
        if hop is None:
            del table[prefix]
        else:
            table[prefix] = hop
        assert all(now in pair for now, *pair in zip(hops(table), before, wanted, strict=True))
    assert hops(table) == wanted
    # One for each difference: fewer cannot do, since a change touches one prefix only.
    assert len(plan) == len(old.items() ^ new.items()) - len(
        [prefix for prefix in old.keys() & new.keys() if old[prefix] != new[prefix]]
    )
