"""Unit 04, with the standard library."""

from ipaddress import IPv4Address, IPv4Network, collapse_addresses, ip_address, ip_network


def covers(prefix, address):
    return ip_address(address) in ip_network(prefix, strict=False)


def look_up(routes, address):
    hits = sorted(
        (r for r in routes if covers(r[0], address)),
        key=lambda r: (ip_network(r[0]).prefixlen, -r[2]),
    )
    return hits[-1][:2] if hits else None


def walk_trie(trie, bits):
    seen = [trie]
    for b in bits:
        child = seen[-1].get(b)
        if child is None:
            break
        seen.append(child)
    hops = [node["hop"] for node in seen if "hop" in node]
    return (hops or [None])[-1], len(seen)


class NetworkTable(dict):
    def insert(self, prefix, next_hop):
        self[IPv4Network(prefix, False)] = next_hop

    def withdraw(self, prefix):
        self.pop(IPv4Network(prefix, False))

    def look_up(self, address):
        a = IPv4Address(address)
        nets = [n for n in self if a in n]
        return self[max(nets, key=lambda n: n.prefixlen)] if nets else None


def new_table():
    return NetworkTable()


def build_tables(routes):
    ordered = sorted(routes, key=lambda r: len(r[0]))
    flat = [None] * 64
    for prefix, hop in ordered:
        start = int(prefix.ljust(6, "0"), 2)
        flat[start : start + 2 ** (6 - len(prefix))] = [hop] * 2 ** (6 - len(prefix))
    deep = {int(p[:3], 2) for p, _ in routes if len(p) > 3}
    numbers = {top: n for n, top in enumerate(sorted(deep))}
    first = [numbers.get(top, flat[top * 8]) for top in range(8)]
    return first, [flat[top * 8 : top * 8 + 8] for top in sorted(deep)]


def spare_routes(routes):
    nets = {ip_network(p): hop for p, hop in routes}
    out = []
    for text, hop in routes:
        net = ip_network(text)
        inside = [n for n in nets if n != net and n.subnet_of(net)]
        left = sum(n.num_addresses for n in collapse_addresses(inside))
        above = [n for n in nets if n != net and n.supernet_of(net)]
        parent = max(above, key=lambda n: n.prefixlen, default=None)
        same = parent is not None and nets[parent] == hop
        if same or left == net.num_addresses:
            out.append(text)
    return out
