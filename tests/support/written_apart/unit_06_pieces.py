"""Unit 06, in small pieces."""

# ruff: noqa: RUF012  # habits of whoever wrote this


def word(octets, where):
    return int.from_bytes(octets[where : where + 2], "big")


def padded(octets, size):
    return octets + bytes(max(0, size - len(octets)))


def ones_sum(octets):
    s = 0
    for where in range(0, len(octets), 2):
        s += word(octets, where)
        s = (s & 0xFFFF) + (s >> 16)
    return s


def head_size(datagram):
    return (datagram[0] % 16) * 4


FAULTS = (
    lambda d: len(d) < 20,
    lambda d: ones_sum(padded(d, head_size(d))[: head_size(d)]) != 0xFFFF,
    lambda d: d[0] // 16 != 4,
    lambda d: head_size(d) < 20,
    lambda d: word(d, 2) < head_size(d),
    lambda d: word(d, 2) > len(d),
)


def first_fault(datagram):
    for k in range(len(FAULTS)):
        if FAULTS[k](datagram):
            return k + 1
    return None


def older(datagram):
    if datagram[8] <= 1:
        raise ValueError("no hops left")
    bare = datagram[:8] + bytes([datagram[8] - 1, datagram[9], 0, 0]) + datagram[12:]
    check = 0xFFFF - ones_sum(bare[: head_size(bare)])
    return bare[:10] + check.to_bytes(2, "big") + bare[12:]


def rewrite_frame(frame, leaves_by, next_hop):
    inside = frame[14:]
    inside = inside[: word(inside, 2)]
    return b"".join([next_hop[0], leaves_by[0], frame[12:14], older(inside)])


def attempt(function, packet):
    try:
        out = function(packet)
    except Exception:
        return "stage failed"
    return out if isinstance(out, (dict, str)) else "stage failed"


def journey(packet, stages):
    if not stages:
        return packet, None
    (name, function), *others = stages
    out = attempt(function, packet)
    if isinstance(out, str):
        return None, (name, out)
    return journey(out, others)


def carry(packets, stages):
    ends = [journey(p, list(stages)) for p in packets]
    reasons = [reason for _, reason in ends if reason]
    return [p for p, reason in ends if not reason], {r: reasons.count(r) for r in reasons}


def value_of(address):
    return int("".join(f"{int(x):02x}" for x in address.split(".")), 16)


def in_prefix(value, prefix):
    base, length = prefix.split("/")
    differing = value_of(base) ^ value
    return differing < 1 << (32 - int(length))


def port_of(datagram):
    has_ports = datagram[9] in (6, 17)
    is_first = word(datagram, 6) & 0x1FFF == 0
    return word(datagram, head_size(datagram) + 2) if has_ports and is_first else None


def fits(rule, value, port):
    prefix, wanted, _ = rule
    return in_prefix(value, prefix) and (wanted is None or wanted == port)


def may_pass(datagram, rules):
    value, port = int.from_bytes(datagram[16:20], "big"), port_of(datagram)
    fitting = [rule[2] for rule in rules if fits(rule, value, port)]
    return fitting[0] if fitting else True


def new_dropper(every):
    if every < 1:
        raise ValueError("at least 1, please")

    class Counter:
        arrivals = {}
        dropped = 0

        def passes(self, flow):
            number = self.arrivals.get(flow, 0) + 1
            self.arrivals[flow] = number
            drop = number % every == 0
            self.dropped += drop
            return not drop

        def counts(self):
            return sum(self.arrivals.values()) - self.dropped, self.dropped

    one = Counter()
    one.arrivals = {}
    return one


def route_for(value, routes):
    usable = [r for r in routes if in_prefix(value, r[0])]
    usable.sort(key=lambda r: int(r[0].split("/")[1]))
    return usable[-1] if usable else None


def rewrite_trouble(header, mtu):
    if header[8] in (0, 1):
        return "time to live exceeded"
    if len(header) > 20:
        return "options"
    return "too large" if word(header, 2) > mtu else None


def why_slow(header, own, routes, mtus, known):
    here = ".".join(map(str, header[16:20]))
    if here in own:
        return "for the router"
    route = route_for(value_of(here), routes)
    if not route:
        return "no route"
    trouble = rewrite_trouble(header, mtus[route[2]])
    if trouble:
        return trouble
    return None if (route[1] or here) in known else "unknown neighbour"
