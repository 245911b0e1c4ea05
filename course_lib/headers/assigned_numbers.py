"""Numbers that the standards give to protocols and messages, as far as this course needs them.

They are plain integers: a header that was parsed and a header that was written by hand then
compare equal and look the same.
"""

__all__ = [
    "ARP_REPLY",
    "ARP_REQUEST",
    "ETHER_TYPE_ARP",
    "ETHER_TYPE_IPV4",
    "ICMP_DESTINATION_UNREACHABLE",
    "ICMP_ECHO",
    "ICMP_ECHO_REPLY",
    "ICMP_PARAMETER_PROBLEM",
    "ICMP_REDIRECT",
    "ICMP_TIME_EXCEEDED",
    "PROTOCOL_ICMP",
    "PROTOCOL_TCP",
    "PROTOCOL_UDP",
]

# What an Ethernet frame carries: RFC 894 (IPv4) and RFC 826 (ARP; the number itself is printed
# in RFC 2544, appendix C).
ETHER_TYPE_IPV4 = 0x0800
ETHER_TYPE_ARP = 0x0806

# What an IPv4 datagram carries: RFC 791, section 3.1, refers to a list, "Assigned Numbers";
# the numbers are also in RFC 792 (page 3), RFC 9293 (section 3.1) and RFC 768.
PROTOCOL_ICMP = 1
PROTOCOL_TCP = 6
PROTOCOL_UDP = 17

# ARP opcodes: RFC 826, "Definitions".
ARP_REQUEST = 1
ARP_REPLY = 2

# ICMP message types: RFC 792, "Summary of Message Types".
ICMP_ECHO_REPLY = 0
ICMP_DESTINATION_UNREACHABLE = 3
ICMP_REDIRECT = 5
ICMP_ECHO = 8
ICMP_TIME_EXCEEDED = 11
ICMP_PARAMETER_PROBLEM = 12
