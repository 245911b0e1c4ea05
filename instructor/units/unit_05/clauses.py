"""The contracts of unit 05, clause by clause, each with an answer that breaks it alone."""

__all__ = ["CLAUSES"]

from collections.abc import Mapping

from instructor.units.clauses import Clause, Contract
from instructor.units.unit_05.broken_clauses import caches as broken_caches
from instructor.units.unit_05.broken_clauses import echoes as broken_echoes
from instructor.units.unit_05.broken_clauses import errors as broken_errors
from instructor.units.unit_05.broken_clauses import reports as broken_reports
from instructor.units.unit_05.broken_clauses import requests as broken_requests
from instructor.units.unit_05.broken_clauses import waiting as broken_waiting
from instructor.units.unit_05.misconceptions import (
    caches,
    echoes,
    errors,
    reports,
    requests,
)
from instructor.units.unit_05.misconceptions import waiting_given_up as lost
from instructor.units.unit_05.misconceptions import waiting_questions as asking
from instructor.units.unit_05.misconceptions import waiting_room as room

ANSWERS, WHOM, REFUSALS = "answers", "for whom", "refusals"
ANSWER_REQUEST = Contract(
    clauses=(
        Clause("and padding perhaps", ANSWERS, broken_requests.answer_with_whole_padding,
               also=(requests.answer_without_padding,)),
        Clause("If the operation is 1", WHOM, requests.answer_answers,
               also=(broken_requests.answer_by_low_octet,)),
        Clause("the target's IP address is `address`", WHOM, requests.answer_for_everybody,
               also=(broken_requests.answer_by_last_octet, broken_requests.answer_by_network)),
        Clause("otherwise the result is None", WHOM,
               broken_requests.answer_nothing_to_others,
               also=(requests.answer_or_nothing,)),

        Clause("The answer has 42 octets, without padding", ANSWERS,
               broken_requests.answer_padded_like_it, also=(requests.answer_as_long,)),
        Clause("goes to the hardware address of the sender in the packet, whoever the frame came "
               "from", ANSWERS, requests.answer_to_the_frames_source),
        Clause("and comes from ours", ANSWERS, requests.answer_from_the_group),
        Clause("the type is 0x0806", "", broken_requests.answer_of_type_ip),
        Clause("the operation is 2", "", requests.answer_as_a_question),
        Clause("the sender is us, and the target is who asked", "", requests.answer_in_place),
        Clause("whoever is asked for", REFUSALS, requests.answer_checking_late),
        Clause("if fewer than 42 octets came", REFUSALS, requests.answer_in_any_size,
               also=(broken_requests.answer_in_28_octets, broken_requests.answer_none_if_short)),
        Clause("if the frame's type is not 0x0806", REFUSALS,
               broken_requests.answer_any_ether_type),
        Clause("hardware type 1", REFUSALS, broken_requests.answer_any_hardware_type,
               also=(requests.answer_whatever_the_kinds,)),
        Clause("protocol type 0x0800", REFUSALS, broken_requests.answer_any_protocol_type),
        Clause("lengths 6 and 4", REFUSALS, broken_requests.answer_any_hardware_length),
        Clause("lengths 6 and 4", REFUSALS, broken_requests.answer_any_protocol_length),
    ),
    says_only=(
        "Return the frame that answers a question for our hardware address, or None.",
        "`frame` is what came: an Ethernet header of 14 octets, an ARP packet of 28",
        "`hardware_address` (6 octets) and `address` (a text such as \"192.0.2.2\") are ours.",
        "All else is as in the question.",
        "In the ARP packet",
        "Example: None for a frame that asks for \"192.0.2.7\", if `address` is \"192.0.2.2\".",
    ),
)  # fmt: skip

LEARN, OWED, AGE, GROUPS = "learn", "whom to answer", "age", "group addresses"
NEW_CACHE = Contract(
    clauses=(
        Clause("its hardware address is replaced", LEARN, broken_caches.KeepsForAnswers,
               also=(caches.KeepsTheFirst,)),
        Clause("and its age starts anew", AGE, caches.KeepsTheTime,
               also=(broken_caches.YoungerIfChanged,)),
        Clause("If it is not, and the target is us, it is added", LEARN,
               broken_caches.AddsFromAnswers, also=(broken_caches.AddsFromQuestions,)),
        Clause("The operation has no say in this", LEARN, broken_caches.KeepsForQuestions),
        Clause("The operation has no say in this", LEARN, broken_caches.AddsByQuestionsAlone),
        Clause("Then receive returns True", "", caches.ReturnsTheAddress),
        Clause("True if the packet asks us", OWED, broken_caches.AnswersKnownAnswers),
        Clause("True if the packet asks us", OWED, broken_caches.AnswersByLastOctet),
        Clause("so that we must answer", OWED, caches.AnswersStrangers),
        Clause("None if it is not in the table", LEARN, broken_caches.EmptyWhileEmpty),
        Clause("and changes nothing", AGE, caches.UsedIsYounger),
        Clause("for `lifetime_s` seconds or more", AGE, caches.AgesLate,
               also=(caches.NeverAges, broken_caches.Minutes)),
        Clause("is no longer in the table", AGE, caches.Revives),
        Clause("teaches nothing", GROUPS, caches.BroadcastAlone,
               also=(caches.ForgetsForGroups,)),
        Clause("teaches nothing", AGE, caches.YoungerByGroups),
        Clause("and is not answered", GROUPS, caches.AnswersGroups),
        Clause("the lowest bit of octet 0 is 1", GROUPS, caches.LocalOnes,
               also=(caches.HighestBit,)),
        Clause("Tables know nothing of each other", LEARN, broken_caches.OnlyOne),
    ),
    says_only=(
        "Return an empty table of neighbours, for the station with this IP address.",
        "receive(now_s, operation, hardware_address, sender, target) is called for each ARP packet "
        "that came:",
        "its operation (1 asks, 2 answers)",
        "False if not.",
        "find(now_s, address) returns a neighbour's hardware address",
        "A packet whose sender has a group address (broadcast or multicast:",
        "IP addresses are texts.",
        "Times are in seconds and never go back; `lifetime_s` is above 0.",
        "No sender has our own IP address.",
        "Example: receive(0, 1, bytes.fromhex(\"0000 5e00 5308\"), \"192.0.2.8\", \"192.0.2.1\") "
        "returns True if we are \"192.0.2.1\".",
    ),
)  # fmt: skip

KEPT, ASKED, LOST = "who waits", "questions", "giving up"
NEW_WAITING = Contract(
    clauses=(
        Clause("and returns None", "", broken_waiting.WaitTells),
        Clause("For each address", KEPT, room.OneRoomForAll),
        Clause("at most `most` packets wait", KEPT, broken_waiting.OneMoreInLargeRooms,
               also=(room.KeepsAll, room.KeepsOneMore)),
        Clause("the oldest makes room", KEPT, room.KeepsTheOldest,
               also=(room.ClearsTheRoom,)),
        Clause("the list of packets that wait for an address, the oldest first", KEPT,
               room.NewestFirst, also=(room.LetsOneGo,)),
        Clause("forgets all about that address", KEPT, broken_waiting.GivesLastOnesAgain),
        Clause("forgets all about that address", ASKED, asking.RemembersTheTime,
               also=(asking.StillAsks, broken_waiting.RemembersTheCount)),
        Clause("it is empty if none wait", KEPT, broken_waiting.RefusesStrangers,
               also=(room.RefusesAnswers, room.NoneForNobody)),
        Clause("A new address is asked for at once", ASKED,
               broken_waiting.NewOnesOneByOne, also=(asking.OneQuestionATick,)),
        Clause("a second or more has gone by", ASKED, asking.WaitsOverASecond),
        Clause("since its last question", ASKED, asking.ByTheFirst),
        Clause("After three questions it is given up instead", LOST,
               broken_waiting.FourForOnePacket,
               also=(lost.AsksFourTimes, lost.NeverGivesUp, lost.AsksWhenItGivesUp)),
        Clause("all packets that wait for it are listed", LOST, broken_waiting.OneOfMany,
               also=(lost.OneForAll, lost.ListsAddresses)),
        Clause("and all about it is forgotten", LOST, lost.Remembers,
               also=(broken_waiting.CountsOn,)),
        Clause("in the order in which packets began to wait for them", ASKED, asking.ByAddress),
        Clause("of the packets for one address, the oldest comes first", LOST,
               lost.NewestLostFirst),
        Clause("change nothing in this", ASKED, asking.AsksForEachPacket),
        Clause("change nothing in this", LOST, asking.StartsAnew),
        Clause("Objects know nothing of each other", KEPT, broken_waiting.OnlyOne),
    ),
    says_only=(
        "Return an object that keeps packets until their next hop's address is known.",
        "wait(address, packet) keeps a packet, a text, for the neighbour with this IP address",
        "(1 or more): if there is one too many",
        "tick(now_s) returns a tuple of two lists:",
        "addresses to ask for now, and packets that are given up.",
        "Both lists go address by address",
        "Packets that come while an address is asked for",
        "Times are in seconds and never go back.",
        "Example: after wait(\"192.0.2.8\", \"A\"), tick(0) returns ([\"192.0.2.8\"], []).",
    ),
)  # fmt: skip

REPLIES, CORNERS, REST, NONE = "replies", "corners of the sums", "options and data", "no reply"
ANSWER_ECHO = Contract(
    clauses=(
        Clause("8 octets or more", NONE, echoes.echo_in_any_size,
               also=(broken_echoes.echo_of_7_octets,)),
        Clause("if it has 8 octets or more", NONE, echoes.echo_with_data_only),
        Clause("its type is 8", NONE, echoes.echo_of_any_type),
        Clause("its code is 0", NONE, echoes.echo_of_any_code),
        Clause("and its checksum is right", NONE, echoes.echo_unchecked,
               also=(broken_echoes.echo_without_a_sum,)),
        Clause("or None if there is nothing to answer", NONE,
               broken_echoes.echo_or_nothing_for_wrecks,
               also=(echoes.echo_or_refuse, echoes.echo_or_nothing)),
        Clause("The ICMP message, all behind the header", REST,
               broken_echoes.echo_behind_24_octets, also=(echoes.echo_behind_20_octets,)),
        Clause("an odd last octet counts as the high half of a word", REST,
               echoes.echo_with_odd_octet_low,
               also=(broken_echoes.echo_with_low_odd_octet_on_the_way_back,)),
        Clause("the source and destination addresses have changed places", "",
               echoes.echo_with_addresses_as_they_are),
        Clause("the time to live is 64", REPLIES, broken_echoes.echo_with_old_long_life,
               also=(echoes.echo_with_old_life,)),
        Clause("and the type is 0", "", broken_echoes.echo_with_old_type),
        Clause("Both checksums are what a fresh computation would give", REPLIES,
               broken_echoes.echo_with_old_sum_of_short_life,
               also=(echoes.echo_with_old_header_sum,
                     broken_echoes.echo_with_the_other_zero_above)),
        Clause("Both checksums are what a fresh computation would give", CORNERS,
               broken_echoes.echo_without_carry_but_zero, also=(echoes.echo_without_carry,)),
        Clause("Both checksums are what a fresh computation would give", CORNERS,
               echoes.echo_with_the_other_zero),
        Clause("Both checksums are what a fresh computation would give", CORNERS,
               echoes.echo_folding_once),
        Clause("Everything else stays as it is", REST,
               broken_echoes.echo_without_identification_of_64),
        Clause("Everything else stays as it is", REST, echoes.echo_without_service),
        Clause("Everything else stays as it is", REST, echoes.echo_without_flags),
        Clause("options too", REST, broken_echoes.echo_with_fillers,
               also=(echoes.echo_without_options,)),
    ),
    says_only=(
        "Return the packet that answers an echo",
        "`packet` is an IPv4 packet that carries ICMP (protocol 1), is no fragment, and has passed "
        "all checks of its header.",
        "It ends where its total length says.",
        "the 16-bit words of the message fold to 0xFFFF",
        "In the reply",
        "Example: octets 20 to 23 of a packet are 0800 6668; in the reply, 0000 6e68.",
    ),
)  # fmt: skip

HEADER, KIND, QUOTE = "header", "type and code", "quote"
BUILD_ERROR = Contract(
    clauses=(
        Clause("goes from `address`", HEADER, broken_errors.error_from_the_first),
        Clause("to the source of the packet", "", errors.error_to_receiver),
        Clause("Its IPv4 header has 20 octets", QUOTE, broken_errors.error_with_its_options,
               also=(broken_errors.error_without_options_quoted,)),
        Clause("type of service 0xC0", "", broken_errors.error_of_its_service),
        Clause("time to live 64", "", broken_errors.error_of_255_hops),
        Clause("protocol 1", "", broken_errors.error_as_udp),
        Clause("identification, flags and fragment offset are 0", "",
               broken_errors.error_with_its_number),
        Clause("identification, flags and fragment offset are 0", HEADER,
               broken_errors.error_with_more_to_come),
        Clause("begins with type, code, checksum", KIND,
               errors.error_with_net_and_host_exchanged),
        Clause("and 4 octets that are 0", KIND, broken_errors.error_with_mtu_always),
        Clause("the last two of the four hold `mtu`", KIND, broken_errors.error_with_low_mtu,
               also=(errors.error_without_mtu, errors.error_with_mtu_first,
                     errors.error_with_mtu_little_endian, errors.error_with_mtu_of_frames)),
        Clause("the packet as it came", "", errors.error_with_lowered),
        Clause("without padding", QUOTE, errors.error_with_padding),
        Clause("cut off where the error would have more than 576 octets", QUOTE,
               broken_errors.error_with_577_octets,
               also=(broken_errors.error_with_575_octets, errors.error_with_all_of_it,
                     errors.error_with_576_octets_quoted, errors.error_with_576_octets_of_icmp,
                     errors.error_with_own_length)),
        Clause("what a fresh computation would give", HEADER,
               broken_errors.error_header_folded_once),
        Clause("what a fresh computation would give", HEADER,
               broken_errors.error_header_never_zero),
        Clause("over the whole ICMP message", QUOTE, errors.error_summed_over_8,
               also=(broken_errors.error_summed_short,)),
        Clause("behind an odd number of octets a zero is summed, but not sent", QUOTE,
               broken_errors.error_without_the_last,
               also=(errors.error_padded_in_front, broken_errors.error_with_the_zero_sent)),
    ),
    says_only=(
        "Return the IPv4 packet that tells a sender why its packet ended here.",
        "`packet` is an IPv4 packet, options perhaps among its header, and padding behind it",
        "Its header passes all checks.",
        "`reason` is one of the four in the table above:",
        "\"net unreachable\", \"host unreachable\", \"fragmentation needed\" or \"time exceeded\".",
        "`address` is ours, a text such as \"198.51.100.1\".",
        "The ICMP message begins with",
        "but if fragmentation is needed",
        "from 68 to 65535.",
        "Behind these 8 octets stands the quote:",
        "over the 20 octets of the header",
        "Example: octets 20 and 21 are 0b00 for \"time exceeded\".",
    ),
)  # fmt: skip

EF, ADDRESSES, RATE = "errors and fragments", "addresses", "rate"
NEW_REPORTER = Contract(
    clauses=(
        Clause("may_report(now_s, packet, to_all) returns True or False", "",
               broken_reports.TurnedRound),
        Clause("protocol 1", EF, reports.AnyProtocol),
        Clause("the first octet behind the header", EF, reports.Behind20),
        Clause("is 3, 4, 5, 11 or 12", EF, reports.OnesOwnAlone,
               also=(reports.AllMessages, reports.UnreachableAlone)),
        Clause("if its fragment offset is not 0", EF, reports.FragmentsToo,
               also=(reports.LowOffset, reports.LastFragments)),
        Clause("fragment offset is not 0", EF, reports.AnyFlag, also=(reports.NoFragments,)),
        Clause("if `to_all` is True", ADDRESSES, reports.LinkNotSeen),
        Clause("if its destination is 255.255.255.255", ADDRESSES, reports.LimitedNotSeen),
        Clause("lies in 224.0.0.0/4 or is one of", ADDRESSES, reports.OneMulticastBlock,
               also=(reports.MulticastToo,)),
        Clause("or is one of `broadcasts`", ADDRESSES, broken_reports.DestinationsNotListed,
               also=(reports.OwnLinksNotSeen, broken_reports.FirstListed)),
        Clause("if its source lies in 0.0.0.0/8", ADDRESSES, reports.AllZerosAlone),
        Clause("127.0.0.0/8", ADDRESSES, reports.OneLoopback),
        Clause("224.0.0.0/4 or 240.0.0.0/4", ADDRESSES, reports.GroupsAsSource),
        Clause("224.0.0.0/4 or 240.0.0.0/4", ADDRESSES, reports.ClassEToo),
        Clause("240.0.0.0/4, or is one of `broadcasts`", ADDRESSES,
               broken_reports.SourcesNotListed, also=(reports.SourceNotSeen,)),
        Clause("if True was returned", RATE, reports.AskedCounts, also=(reports.SilenceCounts,)),
        Clause("`most` times", RATE, broken_reports.OneMoreOfMany, also=(reports.OneMore,)),
        Clause("`most` times (1 or more) less than a second ago", RATE, reports.WholeSeconds,
               also=(reports.InAll, reports.NoLimit, reports.FromTheFirst, reports.ForEachSource)),
        Clause("less than a second ago", RATE, reports.SecondIncluded),
        Clause("Otherwise it returns True", ADDRESSES, reports.PrivateNot,
               also=(reports.Ends255,)),
        Clause("Objects know nothing of each other", RATE, broken_reports.OnlyOne),
    ),
    says_only=(
        "Return an object that says whether a sender may be told that its packet ended.",
        "`packet` is an IPv4 packet that has passed all checks of its header, with at least one "
        "octet behind it",
        "`to_all` is True if its frame was for more than one station.",
        "`broadcasts` lists the broadcast addresses of our links, as texts.",
        "Times are in seconds and never go back.",
        "Example: False for a packet to \"224.0.0.5\", whatever else it is.",
    ),
)  # fmt: skip

CLAUSES: Mapping[str, Contract] = {
    "5.1": ANSWER_REQUEST,
    "5.2": NEW_CACHE,
    "5.3": NEW_WAITING,
    "5.4": ANSWER_ECHO,
    "5.5": BUILD_ERROR,
    "5.6": NEW_REPORTER,
}
