"""Misconceptions about filters: exercise 6.4."""

__all__ = ["MAY_PASS"]

from collections.abc import Callable
from typing import Any

Rule = tuple[str, int | None, bool]
Rules = list[Rule]


def right_word(data: bytes, place: int) -> int:
    """Return the 16-bit word that begins at an octet."""
    return int.from_bytes(data[place : place + 2], "big")


def right_covers(prefix: str, address: bytes) -> bool:
    """Compare the bits of the prefix."""
    network, length = prefix.split("/")
    number = int.from_bytes(bytes(int(part) for part in network.split(".")), "big")
    return number >> 32 - int(length) == int.from_bytes(address, "big") >> 32 - int(length)


def right_has_ports(datagram: bytes) -> bool:
    """Tell whether UDP or TCP begins in this datagram."""
    return datagram[9] in (6, 17) and right_word(datagram, 6) & 0x1FFF == 0


def right_start(datagram: bytes) -> int:
    """Return where the payload begins."""
    return 4 * (datagram[0] & 15)


def right_port(datagram: bytes) -> int | None:
    """Return the destination port, if there is one."""
    if not right_has_ports(datagram):
        return None
    return right_word(datagram, right_start(datagram) + 2)


def right_fitting(rules: Rules, destination: bytes, port: int | None) -> Rules:
    """Return the rules that fit, in their order."""
    return [
        rule for rule in rules if right_covers(rule[0], destination) and rule[1] in (None, port)
    ]


def right_verdict(rules: Rules, destination: bytes, port: int | None) -> bool:
    """Return what the first rule that fits says."""
    fitting = right_fitting(rules, destination, port)
    return fitting[0][2] if fitting else True


def may_pass_by_the_last_rule(datagram: bytes, rules: Rules) -> bool:
    """Believe that a later rule overrides the ones before."""
    return right_verdict(rules[::-1], datagram[16:20], right_port(datagram))


def may_pass_by_the_longest(datagram: bytes, rules: Rules) -> bool:
    """Believe that the longest prefix decides, as with routes."""
    in_order = sorted(rules, key=lambda rule: -int(rule[0].split("/")[1]))
    return right_verdict(in_order, datagram[16:20], right_port(datagram))


def may_pass_if_none_objects(datagram: bytes, rules: Rules) -> bool:
    """Believe that any rule that fits may refuse."""
    fitting = right_fitting(rules, datagram[16:20], right_port(datagram))
    return all(passes for _, _, passes in fitting)


def may_pass_by_default_not(datagram: bytes, rules: Rules) -> bool:
    """Believe that what no rule names is refused."""
    everything: Rule = ("0.0.0.0/0", None, False)
    return right_verdict([*rules, everything], datagram[16:20], right_port(datagram))


def may_pass_reading_all_fragments(datagram: bytes, rules: Rules) -> bool:
    """Believe that every fragment begins with ports."""
    has_ports = datagram[9] in (6, 17)
    port = right_word(datagram, right_start(datagram) + 2) if has_ports else None
    return right_verdict(rules, datagram[16:20], port)


def may_pass_any_port_for_fragments(datagram: bytes, rules: Rules) -> bool:
    """Believe that a fragment without ports fits every port."""
    if right_word(datagram, 6) & 0x1FFF == 0:
        return right_verdict(rules, datagram[16:20], right_port(datagram))
    return right_verdict(
        [(prefix, None, passes) for prefix, _, passes in rules], datagram[16:20], None
    )


def may_pass_all_fragments(datagram: bytes, rules: Rules) -> bool:
    """Believe that a later fragment fits no rule at all."""
    later = right_word(datagram, 6) & 0x1FFF != 0
    return later or right_verdict(rules, datagram[16:20], right_port(datagram))


def may_pass_without_first_fragments(datagram: bytes, rules: Rules) -> bool:
    """Believe that the first fragment carries no ports either."""
    is_fragment = right_word(datagram, 6) & 0x3FFF != 0
    port = None if is_fragment else right_port(datagram)
    return right_verdict(rules, datagram[16:20], port)


def may_pass_with_ports_at_20(datagram: bytes, rules: Rules) -> bool:
    """Believe that the payload begins at octet 20."""
    port = right_word(datagram, 22) if right_has_ports(datagram) else None
    return right_verdict(rules, datagram[16:20], port)


def may_pass_by_source_port(datagram: bytes, rules: Rules) -> bool:
    """Believe that the first port is that of the destination."""
    has_ports = right_has_ports(datagram)
    port = right_word(datagram, right_start(datagram)) if has_ports else None
    return right_verdict(rules, datagram[16:20], port)


def may_pass_by_source_address(datagram: bytes, rules: Rules) -> bool:
    """Believe that octet 12 begins the destination."""
    return right_verdict(rules, datagram[12:16], right_port(datagram))


def may_pass_with_ports_for_all(datagram: bytes, rules: Rules) -> bool:
    """Believe that every protocol has ports in the same place."""
    later = right_word(datagram, 6) & 0x1FFF != 0
    port = None if later else right_word(datagram, right_start(datagram) + 2)
    return right_verdict(rules, datagram[16:20], port)


def may_pass_udp_alone(datagram: bytes, rules: Rules) -> bool:
    """Believe that only UDP has ports."""
    port = right_port(datagram) if datagram[9] == 17 else None
    return right_verdict(rules, datagram[16:20], port)


def may_pass_by_port_alone(datagram: bytes, rules: Rules) -> bool:
    """Believe that a rule with a port needs no prefix."""
    port = right_port(datagram)
    for prefix, wanted, passes in rules:
        if wanted is None and right_covers(prefix, datagram[16:20]):
            return passes
        if wanted is not None and wanted == port:
            return passes
    return True


def may_pass_by_prefix_alone(datagram: bytes, rules: Rules) -> bool:
    """Believe that the prefix is enough."""
    bare: Rules = [(prefix, None, passes) for prefix, _, passes in rules]
    return right_verdict(bare, datagram[16:20], None)


MAY_PASS: dict[str, Callable[..., Any]] = {
    "every-fragment-has-ports": may_pass_reading_all_fragments,
    "ports-at-octet-20": may_pass_with_ports_at_20,
    "longest-prefix-decides": may_pass_by_the_longest,
    "every-protocol-has-ports": may_pass_with_ports_for_all,
    "refused-by-default": may_pass_by_default_not,
    "last-rule-wins": may_pass_by_the_last_rule,
    "source-port": may_pass_by_source_port,
    "fragments-fit-every-port": may_pass_any_port_for_fragments,
    "source-address": may_pass_by_source_address,
    "any-refusal-counts": may_pass_if_none_objects,
    "fragments-fit-no-rule": may_pass_all_fragments,
    "first-fragment-has-no-ports": may_pass_without_first_fragments,
    "only-udp-has-ports": may_pass_udp_alone,
    "port-without-prefix": may_pass_by_port_alone,
    "prefix-without-port": may_pass_by_prefix_alone,
}
