"""A link over a real UDP socket: how it is opened (`udp_socket`), and used (`udp_link`).

Where the kernel can, it drops what strangers send (`address_filter`).
"""
