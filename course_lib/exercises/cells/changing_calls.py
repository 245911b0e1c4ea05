"""Which calls change what they are given, as far as their names tell.

Nothing is run, so the library's types are not known here: `x.append(1)` is taken for what it is
for a list. What a student's own functions and methods change is read off their bodies instead.
"""

__all__ = ["CHANGES_PYTHON", "changes_given", "changes_module", "changes_owner"]

CHANGES_PYTHON = "setrecursionlimit"  # it changes no name, and every function may need it

# Of lists, sets, dictionaries, deques, counters, arrays, iterators, files and random numbers.
_CHANGING_METHODS = """
    add append appendleft extend extendleft insert pop popleft popitem remove discard clear update
    setdefault sort reverse rotate subtract move_to_end intersection_update difference_update
    symmetric_difference_update __setitem__ __delitem__ __setattr__ __next__ send frombytes fromlist
    byteswap fill put setflags write writelines seek truncate seed shuffle cache_clear
"""
_READING_METHODS = """
    all any astype as_integer_ratio bit_count bit_length capitalize casefold center copy count
    cumsum decode describe difference display dot draw elements encode endswith explore find findall
    finditer flatten format format_map fullmatch get group groups head hex index intersection
    isalnum isalpha isdigit isdisjoint issubset issuperset items iter_unpack join keys ljust lower
    lstrip match max mean min most_common pack partition plot print ravel replace reshape rfind
    rindex rjust rpartition rsplit rstrip save search shape show split splitlines startswith std
    strip sub sum summary symmetric_difference tail title to_bytes tobytes tolist total translate
    transpose union unpack unpack_from upper values view zfill
"""
_CHANGING_FUNCTIONS = """
    next setattr delattr heappush heappop heapify heappushpop heapreplace insort insort_left
    insort_right shuffle pack_into copyto fill_diagonal setitem delitem iadd
"""
_CHANGING, _READING, _FUNCTIONS = (
    frozenset(words.split()) for words in (_CHANGING_METHODS, _READING_METHODS, _CHANGING_FUNCTIONS)
)
_SETTINGS = ("set", "seed", "register", "filter", "simplefilter")


def changes_given(function: str) -> bool:
    """Tell whether a function of Python or of a module changes what it is given."""
    return function in _FUNCTIONS


def changes_module(function: str) -> bool:
    """Tell whether a function changes something that its module keeps: `random.seed(1)`."""
    return function.startswith(_SETTINGS)


def changes_owner(method: str, *, alone: bool) -> bool:
    """Tell whether a method changes the object it is called on.

    Where only a library knows the method, it counts if its value is thrown away (`alone`): then it
    is called for what it does, unless its name says that it reads or shows.
    """
    return method in _CHANGING or (alone and method not in _READING)
