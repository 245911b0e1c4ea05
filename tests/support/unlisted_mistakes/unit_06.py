"""Wrong answers to the exercises of unit 06 that no listed belief explains.

Each is a right answer in which a few words are others.
"""

FAULT = """def first_fault(datagram):
    if len(datagram) < 20:
        return 1
    words = datagram[0] & 0x0F
    header = datagram[: 4 * words]
    if len(header) % 2:
        header += b"\\0"
    total = 0
    for place in range(0, len(header), 2):
        total += header[place] * 256 + header[place + 1]
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    if total != 0xFFFF:
        return 2
    if datagram[0] >> 4 != 4:
        return 3
    if words < 5:
        return 4
    length = int.from_bytes(datagram[2:4], "big")
    if length < 4 * words:
        return 5
    if length > len(datagram):
        return 6
    return None
"""
FRAME = """def rewrite_frame(frame, leaves_by, next_hop):
    total = int.from_bytes(frame[16:18], "big")
    datagram = bytearray(frame[14 : 14 + total])
    if datagram[8] <= 1:
        raise ValueError("time to live exceeded")
    datagram[8] -= 1
    datagram[10:12] = bytes(2)
    words = 0
    for place in range(0, 4 * (datagram[0] & 15), 2):
        words += datagram[place] * 256 + datagram[place + 1]
    while words > 0xFFFF:
        words = (words & 0xFFFF) + (words >> 16)
    datagram[10:12] = (0xFFFF - words).to_bytes(2, "big")
    return next_hop[0] + leaves_by[0] + frame[12:14] + bytes(datagram)
"""
CARRY = """def carry(packets, stages):
    sent, dropped = [], {}
    for packet in packets:
        for name, stage in stages:
            try:
                result = stage(packet)
            except Exception:
                result = None
            if isinstance(result, dict):
                packet = result
                continue
            reason = result if isinstance(result, str) else "stage failed"
            key = (name, reason)
            dropped[key] = dropped.get(key, 0) + 1
            break
        else:
            sent.append(packet)
    return sent, dropped
"""
FILTER = """def number_of(text):
    number = 0
    for part in text.split("."):
        number = number * 256 + int(part)
    return number


def may_pass(datagram, rules):
    target = int.from_bytes(datagram[16:20], "big")
    start = 4 * (datagram[0] & 15)
    offset = int.from_bytes(datagram[6:8], "big") & 0x1FFF
    port = None
    if datagram[9] in (6, 17) and offset == 0:
        port = int.from_bytes(datagram[start + 2 : start + 4], "big")
    for prefix, wanted, verdict in rules:
        network, length = prefix.split("/")
        first = number_of(network)
        size = 2 ** (32 - int(length))
        if not first <= target < first + size:
            continue
        if wanted is not None and wanted != port:
            continue
        return verdict
    return True
"""
DROPPER = """class Dropper:
    def __init__(self, every):
        if every < 1:
            raise ValueError("no such period")
        self.every = every
        self.seen = {}
        self.passed = 0
        self.dropped = 0

    def passes(self, flow):
        self.seen[flow] = self.seen.get(flow, 0) + 1
        if self.seen[flow] % self.every == 0:
            self.dropped += 1
            return False
        self.passed += 1
        return True

    def counts(self):
        return (self.passed, self.dropped)


def new_dropper(every):
    return Dropper(every)
"""
PATH = """def number_of(text):
    number = 0
    for part in text.split("."):
        number = number * 256 + int(part)
    return number


def why_slow(header, own, routes, mtus, known):
    target = ".".join(str(octet) for octet in header[16:20])
    if target in own:
        return "for the router"
    best, longest = None, -1
    for prefix, hop, interface in routes:
        network, length = prefix.split("/")
        first = number_of(network)
        size = 2 ** (32 - int(length))
        if first <= number_of(target) < first + size and int(length) > longest:
            best, longest = (hop, interface), int(length)
    if best is None:
        return "no route"
    hop, interface = best
    if header[8] <= 1:
        return "time to live exceeded"
    if header[0] & 15 > 5:
        return "options"
    if int.from_bytes(header[2:4], "big") > mtus[interface]:
        return "too large"
    if (hop or target) not in known:
        return "unknown neighbour"
    return None
"""


def changed(right: str, old: str, new: str) -> str:
    """Return an answer with some of its words replaced."""
    assert old in right, old
    return right.replace(old, new)


UNLISTED: dict[str, dict[str, str]] = {
    "6.1": {
        "short ones raise": changed(FAULT, "return 1\n", 'raise ValueError("too short")\n'),
        "three bits of the header length": changed(FAULT, "& 0x0F", "& 0x07"),
        "last odd octet left out": changed(FAULT, 'header += b"\\0"', "header = header[:-1]"),
        "newer versions pass": changed(FAULT, "datagram[0] >> 4 != 4", "datagram[0] >> 4 < 4"),
        "header as it came": changed(FAULT, "length < 4 * words", "length < len(header)"),
        "cut header is check 6": changed(
            FAULT,
            "if len(header) % 2:",
            "if len(header) < 4 * words:\n        return 6\n    if len(header) % 2:",
        ),
        "low octet of the total length": changed(
            FAULT, 'int.from_bytes(datagram[2:4], "big")', "datagram[3]"
        ),
        "checksum field as zero": changed(
            FAULT, "total = 0\n", "header = header[:10] + bytes(2) + header[12:]\n    total = 0\n"
        ),
    },
    "6.2": {
        "two's complement": changed(FRAME, "(0xFFFF - words)", "(0x10000 - words & 0xFFFF)"),
        "trailing zeros taken for padding": changed(
            FRAME, "frame[14 : 14 + total]", 'frame[14:].rstrip(b"\\0")'
        ),
        "IP addresses in front": changed(
            FRAME, "next_hop[0] + leaves_by[0]", "next_hop[1] + leaves_by[1]"
        ),
        "only 0 refused, 1 gives None": changed(
            FRAME,
            "if datagram[8] <= 1:",
            "if datagram[8] == 1:\n        return None\n    if datagram[8] < 1:",
        ),
        "service cleared": changed(
            FRAME, "datagram[8] -= 1\n", "datagram[8] -= 1\n    datagram[1] = 0\n"
        ),
        "one octet of the total length": changed(
            FRAME, 'int.from_bytes(frame[16:18], "big")', "frame[17]"
        ),
        "datagram alone": changed(
            FRAME, "return next_hop[0] + leaves_by[0] + frame[12:14] + ", "return "
        ),
        "check sequence behind": changed(
            FRAME, "+ bytes(datagram)\n", "+ bytes(datagram) + bytes(4)\n"
        ),
    },
    "6.3": {
        "only ValueError caught": changed(CARRY, "except Exception", "except ValueError"),
        "keys turned round": changed(CARRY, "key = (name, reason)", "key = (reason, name)"),
        "no packet twice": changed(
            CARRY,
            "sent.append(packet)",
            "if packet not in sent:\n                sent.append(packet)",
        ),
        "lists go on": changed(
            CARRY, "isinstance(result, dict)", "isinstance(result, (dict, list))"
        ),
        "octets are texts": changed(
            CARRY, "isinstance(result, str)", "isinstance(result, (str, bytes))"
        ),
        "stages by name": changed(
            CARRY, "in stages:", "in sorted(stages, key=lambda one: one[0]):"
        ),
        "stage removed after a fault": changed(
            CARRY,
            "            break\n",
            "            if result is None:\n"
            "                stages.remove((name, stage))\n"
            "            break\n",
        ),
        "sent by name": changed(
            CARRY, "return sent, dropped", "return sorted(sent, key=str), dropped"
        ),
    },
    "6.4": {
        "offset of 12 bits": changed(FILTER, "& 0x1FFF", "& 0x0FFF"),
        "ports are the same object": changed(FILTER, "wanted != port", "wanted is not port"),
        "last address left out": changed(
            FILTER, "target < first + size", "target < first + size - 1"
        ),
        "one address too many": changed(FILTER, "target < first + size", "target <= first + size"),
        "other port turns the verdict": changed(
            FILTER, "continue\n        return verdict", "return not verdict\n        return verdict"
        ),
        "rules with ports first": changed(
            FILTER, "in rules:", "in sorted(rules, key=lambda rule: rule[1] is None):"
        ),
        "SCTP has ports": changed(FILTER, "(6, 17)", "(6, 17, 132)"),
        "the last verdict without a rule": changed(
            FILTER, "return True\n", "return rules[-1][2] if rules else True\n"
        ),
    },
    "6.5": {
        "flows without case": changed(
            DROPPER, "self.seen[flow] = ", "flow = flow.lower()\n        self.seen[flow] = "
        ),
        "a period of 1 passes all": changed(
            DROPPER,
            "if self.seen[flow] % self.every == 0:",
            "if self.every > 1 and self.seen[flow] % self.every == 0:",
        ),
        "a drop clears all flows": changed(
            DROPPER, "self.dropped += 1\n", "self.dropped += 1\n            self.seen.clear()\n"
        ),
        "powers of the period": changed(
            DROPPER,
            "self.seen[flow] % self.every == 0",
            "self.seen[flow] in [self.every**n for n in range(1, 20)]",
        ),
        "counts without a call": changed(DROPPER, "def counts", "@property\n    def counts"),
        "period corrected to 1": changed(
            DROPPER, 'raise ValueError("no such period")', "every = 1"
        ),
        "flows counted": changed(
            DROPPER, "self.passed, self.dropped)", "len(self.seen), self.dropped)"
        ),
        "empty flow passes": changed(
            DROPPER,
            "self.seen[flow] = ",
            "if not flow:\n            return True\n        self.seen[flow] = ",
        ),
    },
    "6.6": {
        "a hop on the link has no route": changed(
            PATH, "if best is None", "if best is None or best[0] is None"
        ),
        "destination has to be known, too": changed(
            PATH,
            "(hop or target) not in known",
            "(hop or target) not in known or target not in known",
        ),
        "lengths compared as texts": changed(
            PATH, "int(length) > longest:", "(longest == -1 or length > str(longest)):"
        ),
        "last address left out": changed(PATH, "< first + size and", "< first + size - 1 and"),
        "may not be cut, so not too large": changed(
            PATH,
            'int.from_bytes(header[2:4], "big") > mtus[interface]',
            'int.from_bytes(header[2:4], "big") > mtus[interface] and not header[6] & 0x40',
        ),
        "first link": changed(PATH, "mtus[interface]", "next(iter(mtus.values()))"),
        "Ethernet everywhere": changed(PATH, "mtus[interface]", "1500"),
        "time to live in another octet": changed(PATH, "header[8] <= 1", "header[9] <= 1"),
    },
}
