"""Unit 02, in small pieces."""

ALL_ONES = (1 << 16) - 1


def fold(total):
    if total <= ALL_ONES:
        return total
    high, low = divmod(total, 1 << 16)
    return fold(high + low)


def word_at(octets, k):
    return int.from_bytes(octets[2 * k : 2 * k + 2].ljust(2, b"\0"), "big")


def sum_of(octets):
    n = (len(octets) + 1) // 2
    return fold(sum(word_at(octets, k) for k in range(n)))


def blanked(octets, where):
    return octets[:where] + b"\0\0" + octets[where + 2 :]


def just_the_header(packet):
    return packet[: (packet[0] & 0xF) << 2]


def header_checksum(packet):
    return ALL_ONES - sum_of(blanked(just_the_header(packet), 10))


def is_header_intact(packet):
    return sum_of(just_the_header(packet)) == ALL_ONES


def quad(address):
    return bytes([int(x) for x in address.split(".")])


def udp_checksum(source, destination, datagram):
    front = quad(source) + quad(destination) + b"\0\x11" + len(datagram).to_bytes(2, "big")
    answer = ALL_ONES - sum_of(front + blanked(datagram, 6))
    return answer if answer else ALL_ONES


def lower_time_to_live(header):
    left = header[8] - 1
    if left < 1:
        raise ValueError("the packet dies here")
    changed = header[:8] + bytes([left]) + header[9:]
    check = header_checksum(changed)
    return changed[:10] + check.to_bytes(2, "big") + changed[12:]


def ones_in_column(values, column):
    return len([v for v in values if (v >> column) % 2])


def missed_pairs(header):
    values = [word_at(header, k) for k in range(len(header) // 2)]
    result = 0
    for column in range(16):
        ones = ones_in_column(values, column)
        result += ones * (len(values) - ones)
    return result
