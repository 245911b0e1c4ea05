"""What the Internet layer asks of hosts and routers alike (RFC 1122, RFC 1812)."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "packets": ["Interface", "OutgoingFrame", "Packet"],
        "neighbours": ["Neighbours"],
        "icmp_errors": ["ErrorLimit", "error_message", "read_quote", "why_not_told"],
        "fragmentation": ["Reassembler", "fragments"],
        "options": ["OptionError", "SourceRouteError", "fill_in", "split_options"],
    },
)
