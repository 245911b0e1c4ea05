"""Wrong answers to unit 02 that no listed belief explains: they lose points, and get no name."""

__all__ = ["UNLISTED"]

SUMS = """
def words(data):
    return [int.from_bytes(data[i:i + 2], "big") for i in range(0, len(data), 2)]

def folded(total):
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return total

def head(packet):
    return packet[:(packet[0] & 15) * 4]

def without_field(packet):
    return head(packet)[:10] + head(packet)[12:]

def passes(packet):
    return folded(sum(words(head(packet)))) == 0xFFFF

def filled(octets):
    octets[10:12] = bytes(2)
    octets[10:12] = (folded(sum(words(octets))) ^ 0xFFFF).to_bytes(2, "big")
    return bytes(octets)

def udp_sum(source, destination, datagram, length, protocol=17, padding=0):
    octets = [int(part) for part in source.split(".") + destination.split(".")]
    octets += [0, protocol, *length.to_bytes(2, "big")]
    octets += [*datagram[:6], 0, 0, *datagram[8:], *[padding] * (len(datagram) % 2)]
    return folded(sum(words(bytes(octets))))
"""
CHECKSUM = "def header_checksum(packet):\n    "
INTACT = "def is_header_intact(packet):\n    "
UDP = "def udp_checksum(source, destination, datagram):\n    "
LOWER = "def lower_time_to_live(header):\n    "
MISSED = "def missed_pairs(header):\n    "

UNLISTED: dict[str, dict[str, str]] = {
    "2.1": {
        "a total of 0xFFFF is folded for ever": """
def fold(total):
    while total >= 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return total
""",
        "folds twice and cuts": """
def fold(total):
    for _ in range(2):
        total = (total & 0xFFFF) + (total >> 16)
    return total & 0xFFFF
""",
        "the carry is put in with `or`": """
def fold(total):
    while total > 0xFFFF:
        total = (total & 0xFFFF) | (total >> 16)
    return total
""",
        "carries above 32 bits are lost": """
def fold(total):
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16 & 0xFFFF)
    return total
""",
        "`&` is taken to bind closer than `+`": """
def fold(total):
    while total > 0xFFFF:
        total = total & 0xFFFF + total >> 16
    return total
""",
        "carries of earlier calls come back in": """
carry = 0
def fold(total):
    global carry
    carry += total >> 16
    total = (total & 0xFFFF) + carry
    return total % 0xFFFF or total
""",
        "totals of more than 32 bits are refused": """
def fold(total):
    if total >> 32:
        raise ValueError(total)
    while total > 0xFFFF:
        total = (total & 0xFFFF) + (total >> 16)
    return total
""",
        "the first digit is taken for the carry": """
def fold(total):
    digits = f"{total:05x}"
    return int(digits[-4:], 16) + int(digits[0], 16)
""",
    },
    "2.2": {
        "half of the field counts": SUMS
        + CHECKSUM
        + """packet = packet[:10] + bytes(1) + packet[11:]
    return folded(sum(words(head(packet)))) ^ 0xFFFF
""",
        "the old field counts where there are options": SUMS
        + CHECKSUM
        + """octets = without_field(packet) if packet[0] == 0x45 else head(packet)
    return folded(sum(words(octets))) ^ 0xFFFF
""",
        "one word of options and no more": SUMS
        + CHECKSUM
        + """return folded(sum(words(without_field(packet)[:22]))) ^ 0xFFFF
""",
        "three bits of the length are read": SUMS
        + CHECKSUM
        + """octets = packet[:(packet[0] & 7) * 4]
    return folded(sum(words(octets[:10] + octets[12:]))) ^ 0xFFFF
""",
        "packets with payload are refused": SUMS
        + CHECKSUM
        + """if len(packet) > len(head(packet)):
        raise ValueError("payload")
    return folded(sum(words(without_field(packet)))) ^ 0xFFFF
""",
        "a checksum of zero is refused": SUMS
        + CHECKSUM
        + """checksum = folded(sum(words(without_field(packet)))) ^ 0xFFFF
    if not checksum:
        raise ValueError("no checksum")
    return checksum
""",
        "words of earlier calls are kept": SUMS
        + """
def header_checksum(packet, seen=[]):
    seen += words(without_field(packet))
    return folded(sum(seen)) ^ 0xFFFF
""",
        "words are combined with exclusive or": SUMS
        + CHECKSUM
        + """result = 0xFFFF
    for word in words(without_field(packet)):
        result ^= word
    return result
""",
    },
    "2.3": {
        "0xFFFF in the field passes in any case": SUMS
        + INTACT
        + """return packet[10:12] == b"\\xff\\xff" or passes(packet)
""",
        "both zeros in the field pass in any case": SUMS
        + INTACT
        + """return packet[10:12] in (bytes(2), b"\\xff\\xff") or passes(packet)
""",
        "three bits of the length are read": SUMS
        + INTACT
        + """return folded(sum(words(packet[:(packet[0] & 7) * 4]))) == 0xFFFF
""",
        "the low octet of the sum decides": SUMS
        + INTACT
        + """return folded(sum(words(head(packet)))) & 0xFF == 0xFF
""",
        "a sum that is nearly all ones passes": SUMS
        + INTACT
        + """return folded(sum(words(head(packet)))) >= 0xFFF0
""",
        "octets are summed": SUMS
        + INTACT
        + """return sum(head(packet)) % 0xFF == 0
""",
        "packets with payload do not pass": SUMS
        + INTACT
        + """return len(packet) == len(head(packet)) and passes(packet)
""",
        "one damaged header spoils all later ones": SUMS
        + """
damaged = []

def is_header_intact(packet):
    if not passes(packet):
        damaged.append(packet)
    return not damaged
""",
    },
    "2.4": {
        "the source stands for both addresses": SUMS
        + UDP
        + """return udp_sum(source, source, datagram, len(datagram)) ^ 0xFFFF or 0xFFFF
""",
        "17 is read as hexadecimal": SUMS
        + UDP
        + """return udp_sum(source, destination, datagram, len(datagram), 0x17) ^ 0xFFFF or 0xFFFF
""",
        "the padding is 0xFF": SUMS
        + UDP
        + """total = udp_sum(source, destination, datagram, len(datagram), padding=0xFF)
    return total ^ 0xFFFF or 0xFFFF
""",
        "half of the length is put in": SUMS
        + UDP
        + """return udp_sum(source, destination, datagram, len(datagram) // 2) ^ 0xFFFF or 0xFFFF
""",
        "a checksum of 0 becomes 1": SUMS
        + UDP
        + """return udp_sum(source, destination, datagram, len(datagram)) ^ 0xFFFF or 1
""",
        "the larger of both lengths": SUMS
        + UDP
        + """length = max(len(datagram), int.from_bytes(datagram[4:6], "big"))
    return udp_sum(source, destination, datagram, length) ^ 0xFFFF or 0xFFFF
""",
        "a length that does not fit is refused": SUMS
        + UDP
        + """if len(datagram) != int.from_bytes(datagram[4:6], "big"):
        raise ValueError("length")
    return udp_sum(source, destination, datagram, len(datagram)) ^ 0xFFFF or 0xFFFF
""",
        "a datagram without data is refused": SUMS
        + UDP
        + """if len(datagram) <= 8:
        raise ValueError("no data")
    return udp_sum(source, destination, datagram, len(datagram)) ^ 0xFFFF or 0xFFFF
""",
    },
    "2.5": {
        "0 is refused with another exception": SUMS
        + LOWER
        + """if header[8] <= 1:
        raise ValueError("time") if header[8] else KeyError("time")
    return filled(bytearray(header[:8] + bytes([header[8] - 1]) + header[9:]))
""",
        "what has few hops left is refused": SUMS
        + LOWER
        + """if header[8] <= 4:
        raise ValueError("time")
    return filled(bytearray(header[:8] + bytes([header[8] - 1]) + header[9:]))
""",
        "carries of the update are cut off": SUMS
        + LOWER
        + """if header[8] <= 1:
        raise ValueError("time")
    word, checksum = words(header)[4:6]
    total = (checksum ^ 0xFFFF) + (word ^ 0xFFFF) + word - 0x100
    new = (word - 0x100 << 16 | total & 0xFFFF ^ 0xFFFF).to_bytes(4, "big")
    return header[:8] + new + header[12:]
""",
        "a time to live of 0 stays 0": SUMS
        + LOWER
        + """if header[8] == 1:
        raise ValueError("time")
    return filled(bytearray(header[:8] + bytes([max(header[8] - 1, 0)]) + header[9:]))
""",
        "the flag against cutting is cleared": SUMS
        + LOWER
        + """if header[8] <= 1:
        raise ValueError("time")
    octets = bytearray(header[:8] + bytes([header[8] - 1]) + header[9:])
    octets[6] &= 0xBF
    return filled(octets)
""",
        "options become zero": SUMS
        + LOWER
        + """if header[8] <= 1:
        raise ValueError("time")
    octets = bytearray(header[:8] + bytes([header[8] - 1]) + header[9:])
    octets[20:] = bytes(len(octets) - 20)
    return filled(octets)
""",
        "two hops at once": SUMS
        + LOWER
        + """if header[8] <= 1:
        raise ValueError("time")
    return filled(bytearray(header[:8] + bytes([header[8] - 2]) + header[9:]))
""",
        "the first header is returned for ever": SUMS
        + """
first = []

def lower_time_to_live(header):
    first.append(header)
    header = first[0]
    return filled(bytearray(header[:8] + bytes([header[8] - 1]) + header[9:]))
""",
    },
    "2.6": {
        "the lowest column is left out": SUMS
        + MISSED
        + """ones = [sum(w >> c & 1 for w in words(header)) for c in range(1, 16)]
    return sum(n * (len(header) // 2 - n) for n in ones)
""",
        "the first word is left out": SUMS
        + MISSED
        + """ones = [sum(w >> c & 1 for w in words(header[2:])) for c in range(16)]
    return sum(n * (len(header) // 2 - 1 - n) for n in ones)
""",
        "halved, as if pairs came twice": SUMS
        + MISSED
        + """ones = [sum(w >> c & 1 for w in words(header)) for c in range(16)]
    return sum(n * (len(header) // 2 - n) for n in ones) // 2
""",
        "the more frequent bit is counted": SUMS
        + MISSED
        + """ones = [sum(w >> c & 1 for w in words(header)) for c in range(16)]
    return sum(max(n, len(header) // 2 - n) for n in ones)
""",
        "the last bit is left out": SUMS
        + MISSED
        + """number, bits = int.from_bytes(header, "big"), range(8 * len(header) - 1)
    return sum((number ^ 1 << a ^ 1 << b) % 0xFFFF == 0 for a in bits for b in range(a))
""",
        "the first flip stays": SUMS
        + MISSED
        + """number, missed = int.from_bytes(header, "big"), 0
    for a in range(8 * len(header)):
        number ^= 1 << a
        missed += sum((number ^ 1 << b) % 0xFFFF == 0 for b in range(a))
    return missed
""",
        "counts of earlier calls are kept": SUMS
        + """
missed = 0

def missed_pairs(header):
    global missed
    for column in range(16):
        ones = sum(word >> column & 1 for word in words(header))
        missed += ones * (len(header) // 2 - ones)
    return missed
""",
        "short data have none": SUMS
        + MISSED
        + """ones = [sum(w >> c & 1 for w in words(header)) for c in range(16)]
    return sum(n * (len(header) // 2 - n) for n in ones) if len(header) >= 20 else 0
""",
    },
}
