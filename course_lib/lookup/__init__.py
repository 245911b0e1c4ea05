"""Longest prefix match: which route has the longest prefix that holds an address? (RFC 4632, 5.1)

Three tables, one after the other faster and harder to change. All of them keep the small promise
that `protocol.LookupTable` writes down, so that each can stand in for the others:

* `LinearList`: look at every route. Ten lines, correct, slow.
* `BinaryTrie`: one step per bit of the address, however many routes there are. IPv4 and IPv6.
* `DirectIndex`: one or two reads per address, for IPv4; millions of addresses in one call.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "linear_list": ["LinearList"],
        "binary_trie": ["BinaryTrie"],
        "direct_index": ["DirectIndex"],
        "protocol": ["LookupTable", "NO_ROUTE"],
        "invented_routes": ["RouteTable", "invent_routes"],
    },
)
