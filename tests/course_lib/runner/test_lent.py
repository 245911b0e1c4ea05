"""Arguments are lent: an answer that changes one gives a wrong result, whatever it returns."""

from textwrap import dedent

import pytest

from course_lib.runner.runner import StandAlone, run_answer


def run(source, arguments, driver="call"):
    (result,) = run_answer(StandAlone(dedent(source)), "f", [arguments], driver=driver).results
    return result


CHANGES = {
    "emptied list": ("routes.clear()", [[1, 2]]),
    "sorted list": ("routes.sort()", [[2, 1]]),
    "key added to a map": ("routes['x'] = 1", [{"a": 1}]),
    "key taken out of a map": ("routes.pop('a')", [{"a": 1}]),
    "list within a list": ("routes[0].append(3)", [[[1], [2]]]),
    "map within a list": ("routes[0]['ttl'] -= 1", [[{"ttl": 2}]]),
    "octets that can be changed": ("routes[0] = 0", [bytearray(b"ab")]),
    "item made a tuple": ("routes[0] = tuple(routes[0])", [[[1]]]),
    "changed, then refused": ("routes.clear(); raise ValueError", [[1]]),
}


@pytest.mark.parametrize("name", sorted(CHANGES))
def test_a_changed_argument_is_named_and_its_result_does_not_count(name):
    body, arguments = CHANGES[name]
    result = run(f"def f(routes):\n    {body}\n    return 5\n", arguments)
    assert (result.kind, result.value) == ("changed", None)
    assert result.note == "`routes`, which belongs to the caller"


@pytest.mark.parametrize(
    ("body", "argument"),
    [
        pytest.param("return sorted(x)", [2, 1], id="a-sorted-copy"),
        pytest.param("return x", [2, 1], id="handed-back"),
        pytest.param("x = x + [3]; return x", [2, 1], id="a-name-bound-anew"),
        pytest.param("x.append(1); x.pop(); return len(x)", [2, 1], id="put-back"),
        pytest.param("raise ValueError", [2, 1], id="refused"),
    ],
)
def test_an_argument_that_is_as_it_was_costs_nothing(body, argument):
    result = run(f"def f(x):\n    {body}\n", [argument])
    assert result.kind in ("value", "raised")


def test_of_several_arguments_the_one_that_changed_is_named():
    assert run("def f(a, b):\n    b.clear()\n", [[1], [2]]).note.startswith("`b`")


def test_an_argument_without_a_name_is_counted():
    assert run("def f(*given):\n    given[1].clear()\n", [[1], [2]]).note.startswith("`argument 2`")


KEEPS = """
    class f:
        def __init__(self, table):
            self.table = table
        def add(self, row):
            self.table.append(row)
            return len(self.table)
"""


def test_an_object_may_keep_an_argument_but_not_change_it_later():
    steps = [["new", [1, 2]], ["add", 3]]
    assert run(KEEPS, [steps], "operate").note.startswith("`table`")
    own = KEEPS.replace("= table", "= list(table)")
    assert run(own, [steps], "operate").value == [3]


def test_lists_that_a_contract_gives_away_may_be_changed():
    source = "def f(packets, stages):\n    stages.clear()\n    return [packets.pop()]\n"
    assert run(source, [[{"ttl": 1}], []], "with_stages").value == [{"ttl": 1}]
