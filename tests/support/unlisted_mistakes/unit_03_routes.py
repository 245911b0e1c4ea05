"""Wrong answers to exercise 3.5 that no listed belief explains."""

__all__ = ["ROUTES"]

from unlisted_mistakes.unit_04_helpers import behind

PARTS = """
def bits(prefix):
    address, length = prefix.split("/")
    return "".join(f"{int(octet):08b}" for octet in address.split("."))[: int(length)]

def text(name):
    octets = [int(name.ljust(32, "0")[at : at + 8], 2) for at in (0, 8, 16, 24)]
    return ".".join(map(str, octets)) + f"/{len(name)}"

def joined(table):
    left = dict(table)
    for length in range(32, 0, -1):
        for name in [one for one in left if len(one) == length and one.endswith("0")]:
            if left.get(name[:-1] + "1") == left[name]:
                left[name[:-1]] = left.pop(name)
                del left[name[:-1] + "1"]
    return left

def around(table, name):
    return [table[name[:end]] for end in range(len(name)) if name[:end] in table]

def dropped(table):
    return {one: hop for one, hop in table.items() if around(table, one)[-1:] != [hop]}

def table_of(routes):
    return {bits(prefix): hop for prefix, hop in routes}

def written(table):
    return [(text(name), table[name]) for name in sorted(table)]
"""

ROUTES = {
    "3.5": behind(PARTS, {
        "the last route is lost": """
def aggregate_routes(routes):
    return written(dropped(joined(table_of(routes))))[:-1]
""",
        "halves of /24 and longer stay apart": """
def aggregate_routes(routes):
    table = table_of(routes)
    short = {one: hop for one, hop in table.items() if len(one) < 18}
    return written(dropped({**joined(short), **{k: v for k, v in table.items() if len(k) >= 18}}))
""",
        "the upper half leads": """
def aggregate_routes(routes):
    left = table_of(routes)
    for length in range(32, 0, -1):
        for name in [one for one in left if len(one) == length and one.endswith("1")]:
            if name[:-1] + "0" in left:
                left[name[:-1]] = left.pop(name)
                del left[name[:-1] + "0"]
    return written(dropped(left))
""",
        "only the first two routes are compared": """
def aggregate_routes(routes):
    table = dict(list(table_of(routes).items())[:2])
    return written(dropped(joined(table)))
""",
        "routes with the commonest next hop go": """
def aggregate_routes(routes):
    table = dropped(joined(table_of(routes)))
    hops = list(table.values())
    return written({k: v for k, v in table.items() if hops.count(v) < 2})
""",
        "every route is one bit shorter": """
def aggregate_routes(routes):
    return written({k[:-1]: v for k, v in dropped(joined(table_of(routes))).items()})
""",
        "the call before is not forgotten": """
seen = {}
def aggregate_routes(routes):
    seen.update(table_of(routes))
    return written(dropped(joined(seen)))
""",
        "outermost routes alone, with the last next hop": """
def aggregate_routes(routes):
    table = joined(table_of(routes))
    last = list(table.values())[-1:]
    return written({k: last[0] for k in table if not around(table, k)})
""",
    }),
}  # fmt: skip
