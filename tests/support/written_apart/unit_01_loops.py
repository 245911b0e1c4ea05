"""Unit 01, step by step."""


def read_word(data, offset):
    if offset < 0:
        raise ValueError("offset is negative")
    if offset >= len(data) - 1:
        raise ValueError("word sticks out of the data")
    high = data[offset]
    low = data[offset + 1]
    return (high << 8) | low


def parse_frame(frame):
    if len(frame) < 14:
        raise ValueError("too short")

    def mac(b):
        text = ""
        for i in range(6):
            if i > 0:
                text += ":"
            text += f"{b[i]:02x}"
        return text

    dst = mac(frame[0:6])
    src = mac(frame[6:12])
    kind = (frame[12] << 8) + frame[13]
    vlan = None
    rest = 14
    if kind == 0x8100:
        if len(frame) < 18:
            raise ValueError("too short for a tag")
        vlan = ((frame[14] & 15) << 8) + frame[15]
        kind = (frame[16] << 8) + frame[17]
        rest = 18
    if kind < 0x600:
        raise ValueError("this is a length")
    return dst, src, vlan, kind, frame[rest:]


def fragment_fields(word):
    df = False
    mf = False
    if word & (1 << 14):
        df = True
    if word & (1 << 13):
        mf = True
    offset = word % 8192
    return (df, mf, offset * 8)


def parse_packet(packet):
    if len(packet) < 20:
        raise ValueError("less than 20 bytes")
    version = packet[0] // 16
    ihl = packet[0] % 16
    if version != 4:
        raise ValueError("wrong version")
    if ihl < 5:
        raise ValueError("header too short")
    header_len = ihl * 4
    total_len = packet[2] * 256 + packet[3]
    if total_len < header_len:
        raise ValueError("total length smaller than header")
    if total_len > len(packet):
        raise ValueError("packet was cut")
    src = ""
    for i in range(12, 16):
        src = src + str(packet[i])
        if i != 15:
            src = src + "."
    dst = ""
    for i in range(16, 20):
        dst = dst + str(packet[i])
        if i != 19:
            dst = dst + "."
    result = {}
    result["source"] = src
    result["destination"] = dst
    result["protocol"] = packet[9]
    result["time_to_live"] = packet[8]
    result["options"] = packet[20:header_len]
    result["payload"] = packet[header_len:total_len]
    return result


def list_options(options):
    result = []
    i = 0
    while i < len(options):
        t = options[i]
        if t == 0:
            break
        if t == 1:
            i = i + 1
        else:
            if i + 1 >= len(options):
                raise ValueError("length missing")
            n = options[i + 1]
            if n < 2:
                raise ValueError("length too small")
            if i + n > len(options):
                raise ValueError("option goes over the end")
            data = options[i + 2 : i + n]
            result.append((t, data))
            i = i + n
    return result


def build_packet(source, destination, source_port, destination_port, payload, options=b""):
    while len(options) % 4 != 0:
        options = options + b"\x00"
    header_len = 20 + len(options)
    udp_len = 8 + len(payload)
    total = header_len + udp_len
    p = bytearray()
    p.append(0x40 | (header_len // 4))
    p.append(0)
    p.append(total >> 8)
    p.append(total & 0xFF)
    for _ in range(4):
        p.append(0)
    p.append(64)
    p.append(17)
    p.append(0)
    p.append(0)
    for number in source.split("."):
        p.append(int(number))
    for number in destination.split("."):
        p.append(int(number))
    p += options
    for value in (source_port, destination_port, udp_len, 0):
        p.append(value >> 8)
        p.append(value & 0xFF)
    p += payload
    return bytes(p)
