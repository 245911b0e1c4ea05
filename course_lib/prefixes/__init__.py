"""Addresses and blocks of them: prefixes (RFC 4632), their text, special ones, and plans."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "prefix": ["Prefix", "aggregate", "parse_prefix", "prefix_around", "split"],
        "text": ["PrefixError", "format_address", "format_mac", "parse_address", "parse_mac"],
        "special": ["broadcasts_of", "is_invalid_destination", "is_invalid_source", "is_multicast"],
        "plan": ["PlanError", "allocate", "check_plan", "free_space", "host_count"],
    },
)
