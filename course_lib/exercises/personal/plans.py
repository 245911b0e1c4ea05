"""Numbers of one's own for exercise 3.6: piers with their needs, and the block they get.

Everybody has the same work. The needs come in the same order of sizes, and the same sizes are kept.
Drawn are the block, names, hosts between the same two powers of two, and a mask that turns halves
round in the tree of prefixes: all offsets are XORed with it. That changes which hole lies lowest,
and no hole's size, nor what is left of it when it is used. The empty half always lies first, so
that whoever takes the first hole with room is never right by chance.

What is right is the library's own plan, and, where there is no hole, so by the way it was drawn.
"""

__all__ = ["plan_cases"]

from collections.abc import Sequence

from course_lib.exercises.personal.draws import Draws
from course_lib.exercises.registry import Case, Expected
from course_lib.prefixes.plan import allocate, length_for_hosts
from course_lib.prefixes.prefix import Prefix
from course_lib.prefixes.text import IPV4_BITS

SOURCE = "own numbers"
PIERS = (
    "Reed", "Gull", "North", "Lantern", "Heron", "Shell", "Anchor", "Cedar", "Mussel", "Beacon",
    "Willow", "Harbour",
)  # fmt: skip
PRIVATE = 10 << 24  # RFC 1918: 10.0.0.0/8
FULL_BITS = (4, 5, 6, 7, 8)  # of a pier whose hosts just fit, or are one too many

# In a block of 1,024 addresses: offset and bits of what is kept, and bits that the needs take.
# The largest does not come first, two are alike, and one gets a part of a hole.
BLOCK_BITS, HALF_BITS, PART_BITS = 10, 9, 4
KEPT = ((576, 6), (768, 5), (816, 4))
NEEDS = (5, 7, 4, 7, 6)

# In one of 256: every second eighth is kept, so half is free, and no hole has room for the first.
NARROW_BITS, HOLE_BITS = 8, 5
TOO_LARGE = (6, 5)


def plan_cases(draws: Draws) -> tuple[Case, ...]:
    """Draw a pier that just fits, one with a host too many, a plan, and one without a hole."""
    full, over = draws.some(FULL_BITS, 2)
    return (
        _alone(draws, (1 << full) - 2),
        _alone(draws, (1 << over) - 1),
        _plan(draws),
        _no_hole(draws),
    )


def _alone(draws: Draws, hosts: int) -> Case:
    block, (pier,) = _block(draws, BLOCK_BITS), draws.some(PIERS, 1)
    return _planned("sizes", block, [], [(pier, hosts)])


def _plan(draws: Draws) -> Case:
    block = _block(draws, BLOCK_BITS)
    mask = draws.below(1 << HALF_BITS - PART_BITS) << PART_BITS
    kept = [_part(block, offset ^ mask, bits) for offset, bits in KEPT]
    return _planned("places", block, draws.some(kept, len(kept)), _needs(draws, NEEDS))


def _no_hole(draws: Draws) -> Case:
    block, odd = _block(draws, NARROW_BITS), draws.below(2)
    kept = [_part(block, (place + odd) << HOLE_BITS, HOLE_BITS) for place in (0, 2, 4, 6)]
    needs = _needs(draws, TOO_LARGE)
    return _case("does not fit", block, kept, needs, ([], f"no hole for {needs[0][0]}"))


def _planned(
    aspect: str, block: Prefix, kept: Sequence[Prefix], needs: Sequence[tuple[str, int]]
) -> Case:
    lengths = {pier: length_for_hosts(hosts) for pier, hosts in needs}
    places = allocate(block, lengths, {str(prefix): prefix for prefix in kept})
    plan = [(pier, str(places[pier])) for pier, _ in needs]
    return _case(aspect, block, kept, needs, (plan, ""))


def _case(
    aspect: str,
    block: Prefix,
    kept: Sequence[Prefix],
    needs: Sequence[tuple[str, int]],
    right: tuple[list[tuple[str, str]], str],
) -> Case:
    arguments = str(block), [str(prefix) for prefix in kept], list(needs)
    return Case(aspect, arguments, Expected(right), SOURCE, {})


def _needs(draws: Draws, sizes: Sequence[int]) -> list[tuple[str, int]]:
    """Draw piers whose hosts need just so many bits, whatever else is counted along."""
    piers = draws.some(PIERS, len(sizes))
    hosts = (draws.between((1 << bits - 1) + 1, (1 << bits) - 4) for bits in sizes)
    return list(zip(piers, hosts, strict=True))


def _block(draws: Draws, bits: int) -> Prefix:
    return Prefix(PRIVATE | draws.below(1 << 24 - bits) << bits, IPV4_BITS - bits)


def _part(block: Prefix, offset: int, bits: int) -> Prefix:
    return Prefix(block.first + (offset >> bits << bits), IPV4_BITS - bits)
