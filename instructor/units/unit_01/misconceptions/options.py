"""What learners believe about options, as code (exercise 1.5).

Many beliefs bend one walk: the bends are keyword arguments of a helper.
"""

__all__ = ["LIST_OPTIONS"]

from collections.abc import Callable
from typing import Any


def _options(
    options: bytes,
    *,
    uncounted: int = 0,
    single: tuple[int, ...] = (0, 1),
    last: tuple[int, ...] = (0,),
    data_from: int = 2,
    smallest: int = 2,
    shortest: int = 0,
    beyond: int = 0,
    check_end: bool = True,
    listed: tuple[int, ...] = (),
    missing: type[Exception] | None = ValueError,
    refusal: type[Exception] = ValueError,
    end_needed: bool = False,
) -> list[tuple[int, Any]]:
    """Walk the options; `uncounted` octets of each are believed not to be in its length."""
    found: list[tuple[int, Any]] = []
    place = 0
    while place < len(options):
        kind = options[place]
        if kind in single:
            if kind in listed:
                found.append((kind, b""))
            if kind in last:
                return found
            place += 1
            continue
        if place + 1 == len(options):
            if missing is None:
                break
            raise (missing if refusal is ValueError else refusal)("no length")
        length = max(options[place + 1], shortest)
        end = place + length + uncounted
        if length < smallest or (check_end and end > len(options) - beyond):
            raise refusal("bad length")
        found.append((kind, options[place + data_from : end]))
        place = end
    if end_needed:
        raise ValueError("no end")
    return found


def length_counts_data_only(options: bytes) -> list[tuple[int, Any]]:
    """Take the length for the length of the data."""
    return _options(options, uncounted=2)


def length_without_type(options: bytes) -> list[tuple[int, Any]]:
    """Count from the octet that holds the length."""
    return _options(options, uncounted=1)


def no_operation_has_a_length(options: bytes) -> list[tuple[int, Any]]:
    """Expect a length behind every type but the end of the list."""
    return _options(options, single=(0,))


def no_operation_ends(options: bytes) -> list[tuple[int, Any]]:
    """Stop at type 1, and step over type 0."""
    return _options(options, last=(1,))


def either_single_octet_ends(options: bytes) -> list[tuple[int, Any]]:
    """Stop at type 1 as well as at type 0."""
    return _options(options, last=(0, 1))


def end_has_a_length(options: bytes) -> list[tuple[int, Any]]:
    """Expect a length behind the end of the list, too."""
    return _options(options, single=(1,))


def end_not_noticed(options: bytes) -> list[tuple[int, Any]]:
    """Skip a zero as padding, and read on."""
    return _options(options, last=())


def end_needed(options: bytes) -> list[tuple[int, Any]]:
    """Want type 0 at the end of every list."""
    return _options(options, end_needed=True)


def rest_looked_at(options: bytes) -> list[tuple[int, Any]]:
    """Want nothing but zeros behind type 0."""
    found = _options(options)
    place = 0
    while place < len(options) and options[place]:
        place += 1 if options[place] == 1 else options[place + 1]
    if any(options[place:]):
        raise ValueError("not padding")
    return found


def single_octets_listed(options: bytes) -> list[tuple[int, Any]]:
    """List the single octets as options without data."""
    return _options(options, listed=(0, 1))


def fillers_listed(options: bytes) -> list[tuple[int, Any]]:
    """List type 1 as an option without data."""
    return _options(options, listed=(1,))


def head_kept_in_data(options: bytes) -> list[tuple[int, Any]]:
    """Take the whole option for its data."""
    return _options(options, data_from=0)


def length_kept_in_data(options: bytes) -> list[tuple[int, Any]]:
    """Take all that follows the type for data."""
    return _options(options, data_from=1)


def data_as_lists(options: bytes) -> list[tuple[int, Any]]:
    """Return octets as a list of numbers."""
    return [(kind, list(data)) for kind, data in _options(options)]


def pairs_as_lists(options: bytes) -> list[list[Any]]:
    """Return lists of two in place of pairs."""
    return [[kind, data] for kind, data in _options(options)]


def types_alone(options: bytes) -> list[int]:
    """Return the types without their data."""
    return [kind for kind, _ in _options(options)]


def a_type_only_once(options: bytes) -> list[tuple[int, Any]]:
    """Keep options in a dict, where the later of two takes the place of the earlier."""
    return list(dict(_options(options)).items())


def types_in_order(options: bytes) -> list[tuple[int, Any]]:
    """Sort the options by type."""
    return sorted(_options(options), key=lambda pair: pair[0])


def first_option_alone(options: bytes) -> list[tuple[int, Any]]:
    """Stop behind the first option."""
    return _options(options)[:1]


def empty_options_refused(options: bytes) -> list[tuple[int, Any]]:
    """Want at least one octet of data."""
    return _options(options, smallest=3)


def zero_length_goes_on(options: bytes) -> list[tuple[int, Any]]:
    """Step by the length, whatever it is: a zero never moves on."""
    return _options(options, smallest=0)


def length_1_goes_on(options: bytes) -> list[tuple[int, Any]]:
    """Refuse a length of 0 only."""
    return _options(options, smallest=1)


def short_lengths_stretched(options: bytes) -> list[tuple[int, Any]]:
    """Take lengths of 0 and 1 for 2."""
    return _options(options, shortest=2)


def no_octets_refused(options: bytes) -> list[tuple[int, Any]]:
    """Want at least one octet."""
    if not options:
        raise ValueError("no options")
    return _options(options)


def options_cut_short(options: bytes) -> list[tuple[int, Any]]:
    """Trust the slice, which is silently shorter at the end."""
    return _options(options, check_end=False)


def last_option_refused(options: bytes) -> list[tuple[int, Any]]:
    """Be off by one at the end."""
    return _options(options, beyond=1)


def one_octet_beyond(options: bytes) -> list[tuple[int, Any]]:
    """Be off by one beyond the end."""
    return _options(options, beyond=-1)


def length_always_there(options: bytes) -> list[tuple[int, Any]]:
    """Read the length without asking whether there is one."""
    return _options(options, missing=IndexError)


def missing_length_ends(options: bytes) -> list[tuple[int, Any]]:
    """Take a type without a length for the end of the list."""
    return _options(options, missing=None)


def nothing_refused(options: bytes) -> list[tuple[int, Any]]:
    """Trust every length, and leave missing octets to Python."""
    return _options(options, smallest=0, check_end=False, missing=IndexError)


def refuses_with_another_error(options: bytes) -> list[tuple[int, Any]]:
    """Refuse as asked, with another kind of exception."""
    return _options(options, refusal=Exception)


def none_in_place_of_an_error(options: bytes) -> list[tuple[int, Any]] | None:
    """Return None where an error is asked for."""
    try:
        return _options(options)
    except ValueError:
        return None


LIST_OPTIONS: dict[str, Callable[..., Any]] = {
    "length-counts-data-only": length_counts_data_only,
    "length-without-type": length_without_type,
    "no-operation-has-a-length": no_operation_has_a_length,
    "no-operation-ends": no_operation_ends,
    "either-single-ends": either_single_octet_ends,
    "end-has-a-length": end_has_a_length,
    "end-not-noticed": end_not_noticed,
    "end-needed": end_needed,
    "rest-looked-at": rest_looked_at,
    "single-octets-listed": single_octets_listed,
    "fillers-listed": fillers_listed,
    "head-kept-in-data": head_kept_in_data,
    "length-kept-in-data": length_kept_in_data,
    "data-as-lists": data_as_lists,
    "pairs-as-lists": pairs_as_lists,
    "types-alone": types_alone,
    "a-type-only-once": a_type_only_once,
    "types-in-order": types_in_order,
    "first-option-alone": first_option_alone,
    "empty-options-refused": empty_options_refused,
    "zero-length-goes-on": zero_length_goes_on,
    "length-1-goes-on": length_1_goes_on,
    "short-lengths-stretched": short_lengths_stretched,
    "options-cut-short": options_cut_short,
    "last-option-refused": last_option_refused,
    "one-octet-beyond": one_octet_beyond,
    "length-always-there": length_always_there,
    "missing-length-ends": missing_length_ends,
    "nothing-refused": nothing_refused,
    "another-error": refuses_with_another_error,
    "none-for-an-error": none_in_place_of_an_error,
}
