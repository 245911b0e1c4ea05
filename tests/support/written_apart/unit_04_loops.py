"""Unit 04, step by step."""

# ruff: noqa: B007, SIM110  # habits of whoever wrote this


def to_bits(address):
    bits = ""
    for part in address.split("."):
        n = int(part)
        piece = ""
        for _ in range(8):
            piece = str(n % 2) + piece
            n = n // 2
        bits += piece
    return bits


def covers(prefix, address):
    parts = prefix.split("/")
    length = int(parts[1])
    a = to_bits(parts[0])
    b = to_bits(address)
    for i in range(length):
        if a[i] != b[i]:
            return False
    return True


def look_up(routes, address):
    best = None
    best_length = -1
    best_metric = 0
    for prefix, hop, metric in routes:
        if not covers(prefix, address):
            continue
        length = int(prefix.split("/")[1])
        if length > best_length or (length == best_length and metric < best_metric):
            best = (prefix, hop)
            best_length = length
            best_metric = metric
    return best


def walk_trie(trie, bits):
    hop = None
    count = 0
    node = trie
    i = 0
    while True:
        count += 1
        if "hop" in node:
            hop = node["hop"]
        if i == len(bits):
            break
        if bits[i] not in node:
            break
        node = node[bits[i]]
        i += 1
    return hop, count


class Table:
    def __init__(self):
        self.routes = {}

    def key(self, prefix):
        address, length = prefix.split("/")
        return to_bits(address)[: int(length)]

    def insert(self, prefix, next_hop):
        self.routes[self.key(prefix)] = next_hop

    def withdraw(self, prefix):
        key = self.key(prefix)
        if key not in self.routes:
            raise KeyError(prefix)
        del self.routes[key]

    def look_up(self, address):
        bits = to_bits(address)
        for length in range(32, -1, -1):
            if bits[:length] in self.routes:
                return self.routes[bits[:length]]
        return None


def new_table():
    return Table()


def build_tables(routes):
    first = []
    second = []
    for i in range(8):
        top = format(i, "03b")
        needs_block = False
        for prefix, hop in routes:
            if len(prefix) > 3 and prefix[:3] == top:
                needs_block = True
        if needs_block:
            block = []
            for j in range(8):
                block.append(find(routes, top + format(j, "03b")))
            first.append(len(second))
            second.append(block)
        else:
            first.append(find(routes, top))
    return first, second


def find(routes, bits):
    answer = None
    longest = -1
    for prefix, hop in routes:
        if bits.startswith(prefix) and len(prefix) > longest:
            answer = hop
            longest = len(prefix)
    return answer


def spare_routes(routes):
    result = []
    for skip in range(len(routes)):
        others = routes[:skip] + routes[skip + 1 :]
        spare = True
        for point in points(routes):
            if hop_for(routes, point) != hop_for(others, point):
                spare = False
                break
        if spare:
            result.append(routes[skip][0])
    return result


def points(routes):
    found = []
    for prefix, hop in routes:
        address, length = prefix.split("/")
        start = int(to_bits(address), 2)
        size = 2 ** (32 - int(length))
        found.append(start)
        if start + size < 2**32:
            found.append(start + size)
    return found


def hop_for(routes, number):
    hop = None
    longest = -1
    bits = format(number, "032b")
    for prefix, name in routes:
        address, length = prefix.split("/")
        n = int(length)
        if n > longest and to_bits(address)[:n] == bits[:n]:
            hop = name
            longest = n
    return hop
