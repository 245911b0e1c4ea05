"""The router: a list of stages, from a frame that came in to one that goes out (RFC 1812).

Read the modules in this order:

* `verdicts` - what a stage can say about a packet;
* `stages`, `queue` - receive, validate, decide, rewrite, queue, send;
* `fast_path` - carries a packet from stage to stage;
* `slow_path`, `own_packets`, `services` - what needs software: errors, options, echoes;
* `counters` - what became of all packets;
* `router` - all of it together;
* `batch` - the fast path for many headers at once.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "router": ["Router"],
        "verdicts": ["Divert", "Drop", "HELD", "HoldingStage", "Refuse", "SlowPathTask"],
        "stages": ["Decide", "ForwardingEntry", "Receive", "Rewrite", "Send", "Validate"],
        "queue": ["Queue"],
        "counters": ["Counters"],
        "batch": ["forward_batch"],
    },
)
