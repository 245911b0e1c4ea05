"""What learners believe about the IPv4 header, as code (exercise 1.4).

Many beliefs bend one function: the bends are its keyword arguments.
"""

__all__ = ["PARSE_PACKET"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_01.misconceptions.bent_packet import bent_packet


def header_length_in_octets(packet: bytes) -> dict[str, Any]:
    """Read the header length as a number of octets."""
    return bent_packet(packet, unit=1)


def header_always_20(packet: bytes) -> dict[str, Any]:
    """Take every header for 20 octets long."""
    return bent_packet(packet, words=5)


def header_in_whole_octet(packet: bytes) -> dict[str, Any]:
    """Want octet 0 to be 0x45, as it nearly always is."""
    if packet[:1] != b"\x45":
        raise ValueError("not 0x45")
    return bent_packet(packet)


def nibbles_trade_places(packet: bytes) -> dict[str, Any]:
    """Read the header length before the version."""
    words, version = divmod(packet[0] if packet else 0x45, 16)
    return bent_packet(packet, version=version, words=words)


def total_without_header(packet: bytes) -> dict[str, Any]:
    """Read the total length as the length of the payload."""
    header = (packet[0] & 0x0F) * 4 if packet else 0
    return bent_packet(packet, added=header)


def total_low_octet_first(packet: bytes) -> dict[str, Any]:
    """Read the total length low octet first."""
    return bent_packet(packet, order="little")


def padding_kept(packet: bytes) -> dict[str, Any]:
    """Take all that follows the header as payload."""
    fields = bent_packet(packet)
    fields["payload"] = packet[(packet[0] & 0x0F) * 4 :]
    return fields


def padding_refused(packet: bytes) -> dict[str, Any]:
    """Insist that the data end where the packet ends."""
    fields = bent_packet(packet)
    if int.from_bytes(packet[2:4], "big") != len(packet):
        raise ValueError("total length")
    return fields


def zeros_taken_for_padding(packet: bytes) -> dict[str, Any]:
    """Remove zeros at the end, whoever put them there."""
    fields = padding_kept(packet)
    fields["payload"] = fields["payload"].rstrip(b"\x00")
    return fields


def options_in_payload(packet: bytes) -> dict[str, Any]:
    """Count the options as part of what the packet carries."""
    fields = bent_packet(packet)
    fields["payload"] = fields["options"] + fields["payload"]
    return fields


def options_without_padding(packet: bytes) -> dict[str, Any]:
    """Remove the zeros that fill the options up."""
    fields = bent_packet(packet)
    fields["options"] = fields["options"].rstrip(b"\x00")
    return fields


def options_of_one_word(packet: bytes) -> dict[str, Any]:
    """Take four octets of options at most."""
    fields = bent_packet(packet)
    fields["options"] = fields["options"][:4]
    return fields


def destination_comes_first(packet: bytes) -> dict[str, Any]:
    """Expect the destination in front, as in the Ethernet header."""
    fields = bent_packet(packet)
    return {**fields, "source": fields["destination"], "destination": fields["source"]}


def protocol_comes_first(packet: bytes) -> dict[str, Any]:
    """Take the protocol from octet 8 and the time to live from octet 9."""
    fields = bent_packet(packet)
    return {**fields, "protocol": fields["time_to_live"], "time_to_live": fields["protocol"]}


def hexadecimal_addresses(packet: bytes) -> dict[str, Any]:
    """Write IPv4 addresses in hexadecimal, as hardware addresses are."""
    return bent_packet(packet, dotted=lambda octets: octets.hex("."))


def leading_zeros(packet: bytes) -> dict[str, Any]:
    """Write three digits for every octet of an address."""
    return bent_packet(packet, dotted=lambda octets: ".".join(f"{octet:03}" for octet in octets))


def addresses_as_octets(packet: bytes) -> dict[str, Any]:
    """Leave the addresses as they are."""
    return bent_packet(packet, dotted=bytes)


def octets_as_lists(packet: bytes) -> dict[str, Any]:
    """Return octets as lists of numbers."""
    fields = bent_packet(packet)
    return {**fields, "options": list(fields["options"]), "payload": list(fields["payload"])}


def keys_with_blanks(packet: bytes) -> dict[str, Any]:
    """Name one key as the RFC does, with blanks."""
    fields = bent_packet(packet)
    fields["time to live"] = fields.pop("time_to_live")
    return fields


def more_keys(packet: bytes) -> dict[str, Any]:
    """Return the version, too."""
    return {**bent_packet(packet), "version": 4}


def version_not_looked_at(packet: bytes) -> dict[str, Any]:
    """Take every packet for IPv4."""
    return bent_packet(packet, version=4)


def two_faults_cancel(packet: bytes) -> dict[str, Any]:
    """Refuse a wrong version and a wrong header length, but not both at once."""
    both = len(packet) >= 20 and packet[0] >> 4 != 4 and packet[0] & 0x0F < 5
    return bent_packet(packet, version=4, least_words=0) if both else bent_packet(packet)


def header_length_trusted(packet: bytes) -> dict[str, Any]:
    """Accept a header length that ends before the header's own last field."""
    return bent_packet(packet, least_words=0)


def total_length_trusted(packet: bytes) -> dict[str, Any]:
    """Accept any total length: slices are silently shorter."""
    return bent_packet(packet, least_total=0, check_end=False)


def end_of_data_not_looked_at(packet: bytes) -> dict[str, Any]:
    """Accept a total length beyond the data: the slice is silently shorter."""
    return bent_packet(packet, check_end=False)


def total_may_end_in_the_header(packet: bytes) -> dict[str, Any]:
    """Accept a total length that is smaller than the header."""
    return bent_packet(packet, least_total=0)


def total_compared_with_20(packet: bytes) -> dict[str, Any]:
    """Compare the total length with the fixed part of the header only."""
    return bent_packet(packet, least_total=20)


def empty_payload_refused(packet: bytes) -> dict[str, Any]:
    """Want something behind the header."""
    fields = bent_packet(packet)
    if not fields["payload"]:
        raise ValueError("no payload")
    return fields


def exactly_20_refused(packet: bytes) -> dict[str, Any]:
    """Be off by one at the end of the fixed part."""
    if len(packet) <= 20:
        raise ValueError("too short")
    return bent_packet(packet)


def nothing_behind_options_refused(packet: bytes) -> dict[str, Any]:
    """Want something behind the options."""
    fields = bent_packet(packet)
    if fields["options"] and not fields["payload"]:
        raise ValueError("no payload")
    return fields


def any_length_taken(packet: bytes) -> dict[str, Any]:
    """Read octets before asking whether they are there."""
    return bent_packet(packet, shortest=0)


def short_data_in_python_s_way(packet: bytes) -> dict[str, Any]:
    """Unpack the fixed part of the header at once; what is too short raises an error of its own."""
    return bent_packet(packet, short=Exception)


def nothing_refused(packet: bytes) -> dict[str, Any]:
    """Trust every number, and leave missing octets to Python."""
    return bent_packet(packet, shortest=0, version=4, least_words=0, least_total=0, check_end=False)


def refuses_with_another_error(packet: bytes) -> dict[str, Any]:
    """Refuse as asked, with another kind of exception."""
    return bent_packet(packet, refusal=Exception)


def none_in_place_of_an_error(packet: bytes) -> dict[str, Any] | None:
    """Return None where an error is asked for."""
    try:
        return bent_packet(packet)
    except ValueError:
        return None


PARSE_PACKET: dict[str, Callable[..., Any]] = {
    "header-length-in-octets": header_length_in_octets,
    "header-always-20": header_always_20,
    "only-0x45": header_in_whole_octet,
    "nibbles-trade-places": nibbles_trade_places,
    "total-without-header": total_without_header,
    "total-low-octet-first": total_low_octet_first,
    "padding-kept": padding_kept,
    "padding-refused": padding_refused,
    "zeros-taken-for-padding": zeros_taken_for_padding,
    "options-in-payload": options_in_payload,
    "options-without-padding": options_without_padding,
    "options-of-one-word": options_of_one_word,
    "destination-first": destination_comes_first,
    "protocol-first": protocol_comes_first,
    "hexadecimal-addresses": hexadecimal_addresses,
    "leading-zeros": leading_zeros,
    "addresses-as-octets": addresses_as_octets,
    "octets-as-lists": octets_as_lists,
    "keys-with-blanks": keys_with_blanks,
    "more-keys": more_keys,
    "version-not-looked-at": version_not_looked_at,
    "two-faults-cancel": two_faults_cancel,
    "header-length-trusted": header_length_trusted,
    "total-length-trusted": total_length_trusted,
    "end-not-looked-at": end_of_data_not_looked_at,
    "total-ends-in-header": total_may_end_in_the_header,
    "total-compared-with-20": total_compared_with_20,
    "empty-payload-refused": empty_payload_refused,
    "exactly-20-refused": exactly_20_refused,
    "nothing-behind-options-refused": nothing_behind_options_refused,
    "any-length-taken": any_length_taken,
    "short-data-another-error": short_data_in_python_s_way,
    "nothing-refused": nothing_refused,
    "another-error": refuses_with_another_error,
    "none-for-an-error": none_in_place_of_an_error,
}
