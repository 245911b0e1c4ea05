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


def may_pass_tcp_alone(datagram: bytes, rules: Rules) -> bool:
    """Believe that only TCP has ports."""
    port = right_port(datagram) if datagram[9] == 6 else None
    return right_verdict(rules, datagram[16:20], port)


def may_pass_with_port_0_for_none(datagram: bytes, rules: Rules) -> bool:
    """Believe that what carries no port carries port 0."""
    return right_verdict(rules, datagram[16:20], right_port(datagram) or 0)


def may_pass_with_any_port_for_0(datagram: bytes, rules: Rules) -> bool:
    """Believe that a rule with port 0 names no port."""
    without_0: Rules = [(prefix, port or None, passes) for prefix, port, passes in rules]
    return right_verdict(without_0, datagram[16:20], right_port(datagram))


def may_pass_by_low_octets(datagram: bytes, rules: Rules) -> bool:
    """Believe that a port has 8 bits, those in octet 3."""
    port = right_port(datagram)
    return right_verdict(rules, datagram[16:20], None if port is None else port & 0xFF)


def may_pass_by_either_port(datagram: bytes, rules: Rules) -> bool:
    """Believe that a rule fits if one of the two ports is the one it names."""
    port, start = right_port(datagram), right_start(datagram)
    for prefix, wanted, passes in rules:
        carried = () if port is None else (port, right_word(datagram, start))
        if right_covers(prefix, datagram[16:20]) and (wanted is None or wanted in carried):
            return passes
    return True


def may_pass_by_either_address(datagram: bytes, rules: Rules) -> bool:
    """Believe that a rule fits both ways, for what comes from its prefix as well."""
    port = right_port(datagram)
    for prefix, wanted, passes in rules:
        ends = (datagram[12:16], datagram[16:20])
        if any(right_covers(prefix, end) for end in ends) and wanted in (None, port):
            return passes
    return True


def may_pass_fragments_by_any_flag(datagram: bytes, rules: Rules) -> bool:
    """Believe that only a word of zeros says that this is no later fragment."""
    port = right_port(datagram) if right_word(datagram, 6) == 0 else None
    return right_verdict(rules, datagram[16:20], port)


def may_pass_fragments_by_one_octet(datagram: bytes, rules: Rules) -> bool:
    """Believe that the offset has 8 bits."""
    has_ports = datagram[9] in (6, 17) and datagram[7] == 0
    port = right_word(datagram, right_start(datagram) + 2) if has_ports else None
    return right_verdict(rules, datagram[16:20], port)


def may_pass_no_later_fragments(datagram: bytes, rules: Rules) -> bool:
    """Believe that a later fragment is stopped."""
    later = right_word(datagram, 6) & 0x1FFF != 0
    return not later and right_verdict(rules, datagram[16:20], right_port(datagram))


def may_pass_by_whole_octets(datagram: bytes, rules: Rules) -> bool:
    """Believe that prefixes end between octets."""
    cut: Rules = []
    for prefix, port, passes in rules:
        network, length = prefix.split("/")
        cut.append((f"{network}/{int(length) // 8 * 8}", port, passes))
    return right_verdict(cut, datagram[16:20], right_port(datagram))


def may_pass_by_equality(datagram: bytes, rules: Rules) -> bool:
    """Believe that a prefix is compared as one whole address."""
    hosts: Rules = [(f"{prefix.split('/')[0]}/32", port, passes) for prefix, port, passes in rules]
    return right_verdict(hosts, datagram[16:20], right_port(datagram))


def may_pass_without_default(datagram: bytes, rules: Rules) -> bool:
    """Believe that a prefix of no bits covers nothing."""
    longer: Rules = [rule for rule in rules if not rule[0].endswith("/0")]
    return right_verdict(longer, datagram[16:20], right_port(datagram))


def may_pass_turned_round(datagram: bytes, rules: Rules) -> bool:
    """Believe that the verdict says whether a datagram is stopped."""
    turned: Rules = [(prefix, port, not passes) for prefix, port, passes in rules]
    return right_verdict(turned, datagram[16:20], right_port(datagram))


def may_pass_or_none(datagram: bytes, rules: Rules) -> bool | None:
    """Believe that nothing need be returned where no rule fits."""
    fitting = right_fitting(rules, datagram[16:20], right_port(datagram))
    return fitting[0][2] if fitting else None


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
    "only-tcp-has-ports": may_pass_tcp_alone,
    "no-port-is-port-0": may_pass_with_port_0_for_none,
    "port-0-is-any-port": may_pass_with_any_port_for_0,
    "ports-of-8-bits": may_pass_by_low_octets,
    "either-port": may_pass_by_either_port,
    "either-address": may_pass_by_either_address,
    "any-flag-is-a-fragment": may_pass_fragments_by_any_flag,
    "offset-of-8-bits": may_pass_fragments_by_one_octet,
    "later-fragments-stopped": may_pass_no_later_fragments,
    "prefixes-of-whole-octets": may_pass_by_whole_octets,
    "prefix-is-one-address": may_pass_by_equality,
    "no-bits-cover-nothing": may_pass_without_default,
    "verdict-turned-round": may_pass_turned_round,
    "none-without-a-rule": may_pass_or_none,
}
