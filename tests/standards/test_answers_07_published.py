"""The right answers of unit 07 give what RFC 2328 and RFC 2453 print.

All of them are tried, those written in other ways as well.
"""

import pytest

from instructor.units.items import item
from instructor.units.unit_07.questions.paths import BACKBONE, SAMPLE

RIGHT = {
    number: [
        pytest.param(one, id=one.__name__) for one in (item(number).answer, *item(number).others)
    ]
    for number in ("7.1", "7.2", "7.3", "7.4")
}
TELL = item("7.2").answer

# RFC 2453, section 3.4.2: who hears whom, at which cost; the target is at D, and B - D has failed.
LINES = {
    "A": {"B": 1, "C": 1},
    "B": {"A": 1, "C": 1},
    "C": {"A": 1, "B": 1, "D": 10},
    "D": {"C": 10},
}
BEFORE = {"A": (3, "B"), "B": (16, "D"), "C": (3, "B"), "D": (1, None)}


def links_of(text):
    words = text.split()
    ends = [tuple(pair.split("-", 1)) for pair in words[::2]]
    return [(*pair, int(cost)) for pair, cost in zip(ends, words[1::2], strict=True)]


def one_round(hear, tables, lines, horizon):
    """Let all speak at the same time; each hears its own next hop first."""
    told = {
        (place, neighbour): update
        for place, table in tables.items()
        for neighbour, update in TELL(table, list(lines[place]), horizon, None, 25)
    }
    after = {}
    for place, table in tables.items():
        hop = table["target"][1]
        for neighbour in sorted(lines[place], key=lambda one: (one != hop, one)):
            update = told.get((neighbour, place), [])
            table = hear(table, neighbour, lines[place][neighbour], update)
        after[place] = table
    return after


def metrics_by_round(hear, lines, horizon="off"):
    """Return the metrics of A, B and C, round by round, until nothing changes any more."""
    tables = {place: {"target": BEFORE[place]} for place in lines}
    rounds = [metrics(tables)]
    while True:
        tables = one_round(hear, tables, lines, horizon)
        if metrics(tables) == rounds[-1]:
            return rounds[1:], tables
        rounds.append(metrics(tables))


def metrics(tables):
    return [tables[place]["target"][0] for place in "ABC"]


@pytest.mark.parametrize("hear", RIGHT["7.1"])
def test_metrics_count_up_as_rfc_2453_prints_it(hear):
    """Section 3.4.2 prints 4, 5, 6, ..., 11, and then 12 for A and B, 11 for C by way of D."""
    rounds, tables = metrics_by_round(hear, LINES)
    assert rounds == [*([metric] * 3 for metric in range(4, 12)), [12, 12, 11]]
    assert tables["C"]["target"] == (11, "D")


@pytest.mark.parametrize("hear", RIGHT["7.1"])
def test_without_another_way_they_count_to_16(hear):
    """RFC 2453, section 3.4.2: in the worst case until infinity."""
    lines = {place: {to: cost for to, cost in ends.items() if to != "D"}
             for place, ends in LINES.items() if place != "D"}  # fmt: skip
    rounds, _ = metrics_by_round(hear, lines)
    assert rounds == [[metric] * 3 for metric in range(4, 17)]


@pytest.mark.parametrize("hear", RIGHT["7.1"])
def test_a_loop_of_three_counts_in_spite_of_poisoned_reverse(hear):
    """RFC 2453, section 3.4.4: split horizon prevents loops of two routers only."""
    lines = {place: {to: cost for to, cost in ends.items() if to != "D"}
             for place, ends in LINES.items() if place != "D"}  # fmt: skip
    rounds, _ = metrics_by_round(hear, lines, "poisoned reverse")
    assert rounds[-1] == [16, 16, 16]


# RFC 2328, section 2.2, Table 2 and figure 5; from RT12 recomputed with networkx.
FROM_RT6 = "N1 10 N2 10 N3 7 N4 8 Ib 7 Ia 12 N6 8 N7 12 N8 10 N9 11 N10 13 N11 14 H1 21 RT5 6 RT7 8"
FROM_RT12 = "N9 1 N10 2 H1 10 RT11 1 N8 3 RT10 3 N6 4 RT7 4 N11 4 RT6 8 RT5 10 RT3 14 N3 15 N1 18"
# RFC 2328, section 3.4, Table 5.
FROM_RT3 = "RT4 22 RT7 20 RT10 15 RT11 18 Ia 20 Ib 15 RT5 14"
FROM_RT4 = "RT3 21 RT7 14 RT10 22 RT11 25 Ia 27 Ib 22 RT5 8"


@pytest.mark.parametrize("ways", RIGHT["7.3"])
@pytest.mark.parametrize(
    ("chart", "root", "printed"),
    [
        (SAMPLE, "RT6", FROM_RT6),
        (SAMPLE, "RT12", FROM_RT12),
        (BACKBONE, "RT3", FROM_RT3),
        (BACKBONE, "RT4", FROM_RT4),
    ],
    ids=["from RT6", "from RT12", "backbone from RT3", "backbone from RT4"],
)
def test_costs_are_those_of_the_tables_of_rfc_2328(ways, chart, root, printed):
    words = printed.split()
    costs = {place: cost for place, (cost, _) in ways(links_of(chart), root).items()}
    for place, cost in zip(words[::2], words[1::2], strict=True):
        assert costs[place] == int(cost), place


@pytest.mark.parametrize("new", RIGHT["7.4"])
def test_the_first_number_is_the_oldest_and_the_last_the_newest(new):
    """RFC 2328, section 12.1.6: from 0x80000001 up to 0x7FFFFFFF."""
    numbers = [0x80000001, 0x80000002, 0xFFFFFFFF, 0, 1, 0x7FFFFFFE, 0x7FFFFFFF]
    flooder = new(["Gull", "Reed"])
    for number in numbers:
        assert flooder.receive("Gull", ("Heron", number, 7, 1))["Gull"] == "ack"
    for number in numbers[:-1]:
        sent = flooder.receive("Gull", ("Heron", number, 7, 1))
        assert sent == {"Gull": ("Heron", 0x7FFFFFFF, 7, 1)}
