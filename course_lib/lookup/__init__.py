"""Longest prefix match: which route has the longest prefix that holds an address? (RFC 4632, 5.1)

Three tables, one after the other faster and harder to change. All of them keep the small promise
that `protocol.LookupTable` writes down, so that each can stand in for the others:

* `LinearList`: look at every route. Ten lines, correct, slow.
* `BinaryTrie`: one step per bit of the address, however many routes there are. IPv4 and IPv6.
* `DirectIndex`: one or two reads per address, for IPv4; millions of addresses in one call.
"""

__all__ = ["NO_ROUTE", "BinaryTrie", "DirectIndex", "LinearList", "LookupTable"]

from course_lib.lookup.binary_trie import BinaryTrie
from course_lib.lookup.direct_index import DirectIndex
from course_lib.lookup.linear_list import LinearList
from course_lib.lookup.protocol import NO_ROUTE, LookupTable
