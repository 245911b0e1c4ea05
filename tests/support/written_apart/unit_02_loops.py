"""Unit 02, step by step."""

# ruff: noqa: SIM103  # habits of whoever wrote this


def fold(total):
    while total >= 65536:
        carry = total // 65536
        total = total % 65536
        total = total + carry
    return total


def header_checksum(packet):
    length = (packet[0] & 15) * 4
    total = 0
    i = 0
    while i < length:
        if i != 10:
            total = total + packet[i] * 256 + packet[i + 1]
        i = i + 2
    total = fold(total)
    return 0xFFFF - total


def is_header_intact(packet):
    length = (packet[0] & 15) * 4
    total = 0
    for i in range(0, length, 2):
        total += packet[i] * 256 + packet[i + 1]
    if fold(total) == 0xFFFF:
        return True
    return False


def udp_checksum(source, destination, datagram):
    total = 0
    for address in [source, destination]:
        a, b, c, d = address.split(".")
        total += int(a) * 256 + int(b)
        total += int(c) * 256 + int(d)
    total += 17
    total += len(datagram)
    data = list(datagram)
    data[6] = 0
    data[7] = 0
    if len(data) % 2 == 1:
        data.append(0)
    for i in range(0, len(data), 2):
        total += data[i] * 256 + data[i + 1]
    result = 0xFFFF - fold(total)
    if result == 0:
        result = 0xFFFF
    return result


def lower_time_to_live(header):
    if header[8] < 2:
        raise ValueError("time is up")
    new = bytearray(header)
    new[8] = new[8] - 1
    new[10] = 0
    new[11] = 0
    total = 0
    for i in range(0, len(new), 2):
        total += new[i] * 256 + new[i + 1]
    check = 0xFFFF - fold(total)
    new[10] = check // 256
    new[11] = check % 256
    return bytes(new)


def missed_pairs(header):
    count = 0
    for bit in range(16):
        zeros = 0
        ones = 0
        for i in range(0, len(header), 2):
            word = header[i] * 256 + header[i + 1]
            if word & (1 << bit):
                ones += 1
            else:
                zeros += 1
        count += zeros * ones
    return count
