"""What is sealed is read by one with the key, once, and unchanged; in any order."""

import pytest
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.links.replay_window import WINDOW, ReplayWindow
from course_lib.links.sealing import ForgedError, Opener, ReplayedError, Sealer

KEY = bytes(range(32))


def test_a_sealed_message_is_its_number_and_what_rfc_8439_makes_of_the_content():
    sealer, plain = Sealer(KEY, b"head"), ChaCha20Poly1305(KEY)
    sealer.seal(b"before")
    sealed = sealer.seal(b"a frame")
    assert sealed[:12] == b"head" + bytes([0] * 7 + [1])
    assert plain.decrypt(bytes(4) + sealed[4:12], sealed[12:], b"head") == b"a frame"
    assert Opener(KEY, b"head").open(sealed) == b"a frame"


@settings(deadline=None, max_examples=60)
@given(st.data())
def test_whatever_is_changed_in_it_does_not_open_and_does_no_harm(data):
    sealer, opener = Sealer(KEY, b"head"), Opener(KEY, b"head")
    sealed = sealer.seal(data.draw(st.binary(max_size=40)))
    bit = data.draw(st.integers(0, len(sealed) * 8 - 1))
    flipped = bytearray(sealed)
    flipped[bit // 8] ^= 1 << bit % 8
    cut = sealed[: data.draw(st.integers(0, len(sealed) - 1))]
    for damaged in (bytes(flipped), cut, sealed + b"\0", data.draw(st.binary(max_size=60))):
        with pytest.raises(ForgedError):
            opener.open(damaged)
    for other in (Opener(KEY, b"deal"), Opener(bytes(32), b"head")):
        with pytest.raises(ForgedError):
            other.open(sealed)
    assert opener.window.highest == -1
    opener.open(sealed)
    with pytest.raises(ReplayedError):
        opener.open(sealed)


@settings(deadline=None, max_examples=200)
@given(st.lists(st.integers(0, 3 * WINDOW) | st.integers(WINDOW - 5, WINDOW + 5), max_size=60))
def test_the_window_agrees_with_a_set_of_all_that_came(numbers):
    """The set is the definition: RFC 4303, section 3.4.3, less what lies behind the window."""
    window, came, highest = ReplayWindow(), set(), -1
    for number in numbers:
        is_new = number not in came and number > highest - WINDOW
        assert window.is_new(number) == is_new
        if is_new:
            window.note(number)
            came.add(number)
            highest = max(highest, number)
        assert window.highest == highest
        assert window.lost == highest + 1 - len(came)


def test_a_jump_to_the_last_number_takes_no_room():
    window = ReplayWindow()
    window.note(2**64 - 1)
    assert not window.is_new(2**64 - 1)
    assert window.is_new(2**64 - 2)
