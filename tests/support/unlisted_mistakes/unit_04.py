"""Wrong answers to unit 04 that no listed belief explains: they lose points and get no name."""

__all__ = ["UNLISTED"]

from unlisted_mistakes.unit_04_helpers import behind
from unlisted_mistakes.unit_04_tables import TABLES

NUMBERS = """
def num(address):
    a, b, c, d = map(int, address.split("."))
    return a << 24 | b << 16 | c << 8 | d

def parts(prefix):
    network, length = prefix.split("/")
    return num(network), int(length)

def covers(prefix, address):
    network, length = parts(prefix)
    return network >> 32 - length == num(address) >> 32 - length
"""
WAYS = """
def way(trie, bits):
    path = [trie]
    for bit in bits:
        if bit not in path[-1]:
            break
        path.append(path[-1][bit])
    return path, [node["hop"] for node in path if "hop" in node]
"""

UNLISTED: dict[str, dict[str, str]] = {
    "4.1": behind(NUMBERS, {
        "a difference in place of bits": '''
def covers(prefix, address):
    network, length = parts(prefix)
    return abs(network - num(address)) < 2 ** (32 - length)
''',
        "host bits move the range": '''
def covers(prefix, address):
    network, length = parts(prefix)
    return network <= num(address) < network + 2 ** (32 - length)
''',
        "less or equal for less": '''
def covers(prefix, address):
    network, length = parts(prefix)
    return network ^ num(address) <= 2 ** (32 - length)
''',
        "the first address is no host": '''
def covers(prefix, address):
    network, length = parts(prefix)
    first = network >> 32 - length << 32 - length
    return first < num(address) < first + 2 ** (32 - length)
''',
        "hexadecimal digits are compared": '''
def covers(prefix, address):
    network, length = parts(prefix)
    digits = length // 4
    return f"{network:08x}"[:digits] == f"{num(address):08x}"[:digits]
''',
        "octets have seven bits": '''
def covers(prefix, address):
    one, other = ("".join(f"{int(part):07b}" for part in text.split("."))
                  for text in (prefix.split("/")[0], address))
    length = parts(prefix)[1]
    return one[:length] == other[:length]
''',
        "always three octets": '''
def covers(prefix, address):
    return prefix.split(".")[:3] == address.split(".")[:3]
''',
        "one octet that is equal will do": '''
def covers(prefix, address):
    octets = max(1, parts(prefix)[1] // 8)
    pairs = list(zip(prefix.split("/")[0].split("."), address.split(".")))[:octets]
    return any(one == other for one, other in pairs)
''',
    }),
    "4.2": behind(NUMBERS, {
        "the metric of a shorter prefix is kept": '''
def look_up(routes, address):
    best, longest, lowest = None, -1, 10**9
    for prefix, hop, metric in routes:
        if covers(prefix, address):
            length = parts(prefix)[1]
            if length > longest:
                best, longest, lowest = (prefix, hop), length, min(lowest, metric)
            elif length == longest and metric < lowest:
                best, lowest = (prefix, hop), metric
    return best
''',
        "metrics above 15 are out of reach": '''
def look_up(routes, address):
    fit = [r for r in routes if covers(r[0], address) and r[2] < 16]
    return max(fit, key=lambda r: (parts(r[0])[1], -r[2]))[:2] if fit else None
''',
        "next hops are compared by name": '''
def look_up(routes, address):
    fit = [(parts(p)[1], hop, p) for p, hop, metric in routes if covers(p, address)]
    return max(fit)[:0:-1] if fit else None
''',
        "only whole octets can be lengths": '''
def look_up(routes, address):
    for length in (32, 24, 16, 8, 0):
        fit = [r for r in routes if parts(r[0])[1] == length and covers(r[0], address)]
        if fit:
            return min(fit, key=lambda r: r[2])[:2]
''',
        "a metric of 0 is none": '''
def look_up(routes, address):
    best = None
    for r in routes:
        if covers(r[0], address):
            if best is None or parts(r[0])[1] > parts(best[0])[1]:
                best = r
            elif r[0] == best[0] and r[2] and r[2] < best[2]:
                best = r
    return best and best[:2]
''',
        "an empty tuple for no route": '''
def look_up(routes, address):
    fit = [r for r in routes if covers(r[0], address)]
    return max(fit, key=lambda r: (parts(r[0])[1], -r[2]))[:2] if fit else ()
''',
        "the prefix loses its length": '''
def look_up(routes, address):
    fit = [r for r in routes if covers(r[0], address)]
    if fit:
        prefix, hop, _ = max(fit, key=lambda r: (parts(r[0])[1], -r[2]))
        return prefix.split("/")[0], hop
''',
        "the best of the call before stays": '''
best = (-1, 0, None)
def look_up(routes, address):
    global best
    for prefix, hop, metric in routes:
        if covers(prefix, address):
            best = max(best, (parts(prefix)[1], -metric, (prefix, hop)))
    return best[2]
''',
    }),
    "4.3": behind(WAYS, {
        "the last node or the default": '''
def walk_trie(trie, bits):
    path, _ = way(trie, bits)
    return path[-1].get("hop", trie.get("hop")), len(path)
''',
        "the alphabet decides": '''
def walk_trie(trie, bits):
    path, hops = way(trie, bits)
    return max(hops, default=None), len(path)
''',
        "circles alone are counted": '''
def walk_trie(trie, bits):
    path, hops = way(trie, bits)
    return hops[-1] if hops else None, sum("hop" not in node for node in path)
''',
        "bits are counted": '''
def walk_trie(trie, bits):
    path, hops = way(trie, bits)
    return hops[-1] if hops else None, min(len(path), len(bits))
''',
        "no default for a first bit that leads nowhere": '''
def walk_trie(trie, bits):
    path, hops = way(trie, bits)
    return (hops[-1], len(path)) if hops and bits[0] in trie else (None, len(path))
''',
        "the walk ends at the first circle": '''
def walk_trie(trie, bits):
    node, hop, nodes = trie, trie.get("hop"), 1
    for bit in bits:
        if "hop" not in node.get(bit, {}):
            break
        node, nodes = node[bit], nodes + 1
        hop = node["hop"]
    return hop, nodes
''',
        "without a route no node counts": '''
def walk_trie(trie, bits):
    path, hops = way(trie, bits)
    return (hops[-1], len(path)) if hops else (None, 0)
''',
        "nodes of the call before are kept": '''
def walk_trie(trie, bits, path=[]):
    path += way(trie, bits)[0]
    hops = [node["hop"] for node in path if "hop" in node]
    return hops[-1] if hops else None, len(path)
''',
    }),
    **TABLES,
}  # fmt: skip
