"""Right answers to 12.4 to 12.6, in small pieces."""


def word(octets, at):
    return int.from_bytes(octets[at : at + 2], "big")


def words(octets):
    return [word(octets, at) for at in range(0, len(octets), 2)]


def plus(a, b):
    total = a + b
    return total - 0xFFFF if total > 0xFFFF else total


def mended(packet, at, gone, come):
    """Take words out of a sum and put others in; both are additions of complements."""
    total = word(packet, at) ^ 0xFFFF
    for old, new in zip(words(gone), words(come), strict=True):
        total = plus(plus(total, old ^ 0xFFFF), new)
    return total ^ 0xFFFF


def with_word(packet, at, value):
    return packet[:at] + value.to_bytes(2, "big") + packet[at + 2 :]


def sum_place(packet):
    return 36 if packet[9] == 6 else 26


def has_sum(packet):
    return packet[9] == 6 or word(packet, 26) != 0


def never_zero(packet, value):
    return value if value or packet[9] == 6 else 0xFFFF


def readdressed(packet, at, address):
    sum_of_header = mended(packet, 10, packet[at : at + 4], address)
    return with_word(packet, 10, sum_of_header)[:at] + address + packet[at + 4 :]


def with_other_end(packet, which, address, port):
    at, port_at = {"source": (12, 20), "destination": (16, 22)}[which]
    new_port = port.to_bytes(2, "big")
    changed = readdressed(packet, at, address)
    if has_sum(packet):
        gone = packet[at : at + 4] + packet[port_at : port_at + 2]
        value = mended(packet, sum_place(packet), gone, address + new_port)
        changed = with_word(changed, sum_place(packet), never_zero(packet, value))
    return changed[:port_at] + new_port + changed[port_at + 2 :]


def new_translator(outside, ports):
    shared = bytes(map(int, outside.split(".")))
    given = {}  # protocol, inside address, inside port -> outside port
    last = {}  # the same -> when something went out
    partners = set()  # the same, and whom it wrote to

    def forget(now_s):
        for key in [key for key in given if now_s - last[key] >= {6: 7440, 17: 120}[key[0]]]:
            del given[key], last[key]
            partners.difference_update([one for one in partners if one[:3] == key])

    def free(protocol):
        taken = {port for key, port in given.items() if key[0] == protocol}
        return [port for port in ports if port not in taken]

    def behind(protocol, port):
        return [key for key, own in given.items() if (key[0], own) == (protocol, port)]

    def outward(now_s, packet):
        forget(now_s)
        key = packet[9], packet[12:16], word(packet, 20)
        if key not in given and not free(packet[9]):
            return "full"
        given.setdefault(key, [*free(packet[9]), None][0])
        last[key] = now_s
        partners.add((*key, packet[16:20]))
        return with_other_end(packet, "source", shared, given[key])

    def inward(now_s, packet):
        forget(now_s)
        if packet[9] == 1:
            return complaint(packet)
        for key in behind(packet[9], word(packet, 22)):
            if (*key, packet[12:16]) not in partners:
                return "stranger"
            return with_other_end(packet, "destination", *key[1:])
        return "no mapping"

    def complaint(packet):
        for _, address, port in behind(17, word(packet, 48)):
            quote, tail = packet[28:56], packet[56:]
            told = with_other_end(quote, "source", address, port)
            value = mended(packet, 22, quote, told)
            front = readdressed(packet, 16, address)[:28]
            return with_word(front, 22, value) + told + tail
        return "no mapping"

    class Translator:
        pass

    translator = Translator()
    translator.outward, translator.inward = outward, inward
    return translator


def new_limiter(length, rate_bits_per_s, burst_octets, most):
    """Keep one number for a block: a time, times the rate, at which its bucket is full again."""
    full_at = {}

    def bits(source):
        return "".join(f"{int(part):08b}" for part in source.split("."))[:length]

    def owed(block, now_ms):
        return max(0, full_at.get(block, 0) - now_ms * rate_bits_per_s)

    def owing(now_ms):
        return [block for block in full_at if owed(block, now_ms)]

    def named(block):
        whole = block.ljust(32, "0")
        parts = [str(int(whole[at : at + 8], 2)) for at in (0, 8, 16, 24)]
        return f"{'.'.join(parts)}/{length}"

    def take(now_ms, source, octets, ecn):
        block, price = bits(source), octets * 8000
        if owed(block, now_ms) + price > burst_octets * 8000:
            return ("drop", "mark")[ecn > 0]
        if price and not owed(block, now_ms) and len(owing(now_ms)) >= most:
            return "no room"
        full_at[block] = now_ms * rate_bits_per_s + owed(block, now_ms) + price
        return "pass"

    def waiting(now_ms):
        return [named(block) for block in sorted(owing(now_ms))]

    class Limiter:
        pass

    limiter = Limiter()
    limiter.take, limiter.waiting = take, waiting
    return limiter


def new_greeter(own, friends, first, wait_s, tries):
    """Each greeting is a generator that gets told what happens and yields what is said."""
    talks = []  # [peer, side, state, generator]
    count = [first]

    def text(peer, kind, mine, its):
        return peer + own + b"\x88\xb5" + bytes([1, kind]) + long(mine) + long(its) + bytes(36)

    def long(number):
        return number.to_bytes(4, "big")

    def number():
        count[0] += 1
        return (count[0] - 1) % 2**32

    def talk(row, kind, mine, its, since_s):
        """Say it, and say it again as long as nobody has settled it."""
        said = text(row[0], kind, mine, its)
        happened = yield said
        turns = 1
        while True:
            what, *about = happened
            words = None
            if what == "time" and row[2] in ("hailed", "answered") and about[0] - since_s >= wait_s:
                if turns < tries:
                    turns, since_s, words = turns + 1, about[0], said
                else:
                    row[2] = "silent"
            if what == 1 and about[0] == its:
                words = said
            if what == 2 and about[1] == mine:
                row[2] = "greeted"
                words = text(row[0], 3, mine, about[0])
            if what == 3 and about == [its, mine]:
                row[2] = "greeted"
            if what == 4 and about[1] == mine and row[2] == "hailed":
                row[2] = "refused"
            happened = yield words

    def begin(now_s, peer, side, kind, its):
        talks[:] = [row for row in talks if row[:2] != [peer, side]]
        row = [peer, side, {1: "hailed", 2: "answered"}[kind], None]
        row[3] = talk(row, kind, number(), its, now_s)
        talks.append(row)
        return [next(row[3])]

    def tell(peer, side, *happened):
        heard = [row[3].send(happened) for row in talks if row[:2] == [peer, side]]
        return [words for words in heard if words is not None]

    def hail(now_s, peer):
        return begin(now_s, peer, "ours", 1, 0)

    def receive(now_s, frame):
        if frame[:6] + frame[12:14] != own + b"\x88\xb5" or len(frame) < 24:
            return []
        peer, version, kind = frame[6:12], frame[14], frame[15]
        numbers = int.from_bytes(frame[16:20], "big"), int.from_bytes(frame[20:24], "big")
        if kind == 1 and (version != 1 or peer not in friends):
            return [text(peer, 4, 0, numbers[0])]
        if version != 1 or kind not in (1, 2, 3, 4):
            return []
        side = "theirs" if kind % 2 else "ours"
        answer = tell(peer, side, kind, *numbers)
        return begin(now_s, peer, side, 2, numbers[0]) if kind == 1 and not answer else answer

    def tick(now_s):
        heard = [row[3].send(("time", now_s)) for row in talks]
        return [words for words in heard if words is not None]

    class Greeter:
        def greetings(self):
            return [tuple(row[:3]) for row in talks]

    greeter = Greeter()
    greeter.hail, greeter.receive, greeter.tick = hail, receive, tick
    return greeter
