"""What the Internet layer asks of hosts and routers alike (RFC 1122, RFC 1812)."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "packets": ["Interface", "OutgoingFrame", "Packet", "original_datagram"],
        "neighbours": ["Neighbours"],
        "icmp_errors": [
            "ERRORS",
            "ErrorLimit",
            "Quote",
            "error_message",
            "is_error",
            "read_quote",
            "why_not_told",
        ],
        "fragmentation": [
            "DONT_FRAGMENT",
            "MORE_FRAGMENTS",
            "Reassembler",
            "SMALLEST_MTU",
            "fragments",
        ],
        "options": [
            "Option",
            "OptionError",
            "SourceRouteError",
            "copied_options",
            "fill_in",
            "split_options",
        ],
    },
)
