"""All clauses in one list: what others rest on stands before them."""

__all__ = ["SCENARIOS"]

from course_lib.conformance.clauses import (
    errors,
    fragments,
    headers,
    neighbours,
    options,
    own_packets,
    silence,
    special_addresses,
    ways,
)

SCENARIOS = (
    *ways.SCENARIOS,
    *headers.SCENARIOS,
    *special_addresses.SCENARIOS,
    *neighbours.SCENARIOS,
    *own_packets.SCENARIOS,
    *errors.SCENARIOS,
    *silence.SCENARIOS,
    *options.SCENARIOS,
    *fragments.SCENARIOS,
)
"""Every clause of the board, each with a name of its own."""
