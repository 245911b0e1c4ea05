"""Links between machines of a room: frames in UDP datagrams that only their two ends can read.

Read the modules in this order:

* `room_codes`, `keys` - from what people type to keys;
* `sealing`, `replay_window` - nothing is read, changed, or said twice;
* `datagrams`, `session`, `meeting` - how two ends find to a session, and start anew;
* `terms`, `other_machine`, `rate_limit` - what the room allows an end;
* `link_end`, `counters` - one end of a link: bytes and time in, bytes out;
* `over_udp` - such an end and its socket.

Use it only where those who run the network allow it. An end sends to nobody but the addresses that
the room handed out, and no faster than the room says.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "counters": ["LinkCounters"],
        "keys": ["two_keys"],
        "link_end": ["LinkEnd"],
        "over_udp.udp_link": ["LinkReport", "UdpLink"],
        "over_udp.udp_socket": ["open_udp_socket"],
        "room_codes": ["CodeError", "new_code", "room_secret"],
        "sealing": ["ForgedError", "Opener", "ReplayedError", "SealError", "Sealer"],
        "terms": ["LinkTerms", "TermsError", "inner_mtu_for"],
    },
)
