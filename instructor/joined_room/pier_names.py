"""Names for up to 60 piers of the ferry company: what members of the room are called.

Nobody is shown up: on the screen stands the name of a pier, never that of a person.
"""

__all__ = ["MOST_PIERS", "pier_names"]

_FIRST = (
    "North", "Reed", "Lantern", "Gull", "Amber", "Heron", "Willow", "Copper", "Mill", "Juniper",
    "Salt", "Otter", "Slate", "Thistle", "Beacon", "Marsh", "Fern", "Cinder", "Anchor", "Quarry",
)  # fmt: skip
_KINDS = ("Pier", "Landing", "Steps")
MOST_PIERS = len(_FIRST) * len(_KINDS)


def pier_names(count: int) -> tuple[str, ...]:
    """Return so many names, all different; raises `ValueError` for more than there are.

    >>> pier_names(21)[0], pier_names(21)[-1]
    ('North Pier', 'North Landing')
    """
    if not 0 <= count <= MOST_PIERS:
        raise ValueError(f"there are names for {MOST_PIERS} piers at most, not for {count}")
    return tuple(f"{first} {kind}" for kind in _KINDS for first in _FIRST)[:count]
