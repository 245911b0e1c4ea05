"""Addresses and blocks of them: prefixes (RFC 4632), their text, special ones, and plans."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "prefix": [
            "IPV4_BITS",
            "IPV6_BITS",
            "Prefix",
            "PrefixError",
            "aggregate",
            "format_address",
            "length_of_mask",
            "parse_address",
            "parse_prefix",
            "prefix_around",
            "prefixes_of_range",
            "split",
        ],
        "text": ["ipv4_from_text", "ipv4_to_text", "mac_from_text", "mac_to_text"],
        "special": [
            "FIRST_MULTICAST",
            "LIMITED_BROADCAST",
            "NEVER_DESTINATION",
            "NEVER_SOURCE",
            "broadcasts_of",
            "is_invalid_destination",
            "is_invalid_source",
            "is_multicast",
        ],
        "plan": ["PlanError", "check_plan", "free_space", "host_count", "length_for_hosts", "plan"],
    },
)
