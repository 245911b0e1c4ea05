"""The library's router with tables of neighbours that learn, ask or answer wrongly."""

from course_lib.headers.ethernet import ARPPacket
from course_lib.ip.neighbours import ResolutionResult
from networks.spoiled_stages import parts


def neighbours(change):
    """A router whose tables of neighbours are changed, one by one."""

    def each_one(router):
        for one in router.neighbours.values():
            change(one)

    return parts(each_one)


def forgets_waiting(table):
    wait = table.wait
    table.wait = lambda now_s, address, item: wait(now_s, address, item)
    table._room = 1
    receive = table.receive
    table.receive = lambda now_s, data: receive(now_s, data)._replace(ready=())


def asks_every_time(table):
    wait = table.wait

    def impatient(now_s, address, item):
        result = wait(now_s, address, item)
        return result if result.frames else result._replace(frames=(table._question(address),))

    table.wait = impatient


def asks_for_every_packet(table):
    find, wait = table.find, table.wait

    def forgetful(now_s, address):
        found = find(now_s, address)
        if found is not None and table._known[address].until_s < float("inf"):
            table._known.pop(address)
        return found

    table.find, table.wait = forgetful, wait


def hears(change):
    """A table of neighbours that gets every packet as `change` makes it, None for not at all."""

    def apply(table):
        receive = table.receive

        def heard(now_s, data):
            new = change(table, data)
            return ResolutionResult() if new is None else receive(now_s, new)

        table.receive = heard

    return neighbours(apply)


def for_all(table, data):
    """Take every question for one to us: then it is learnt from, and answered."""
    return data[:24] + table.address.to_bytes(4, "big") + data[28:]


def answer_is_question(_, data):
    return data[:6] + b"\x00\x01" + data[8:]


def any_kind(_, data):
    return bytes.fromhex("000108000604") + data[6:]


def learns_from_all(table):
    receive = table.receive

    def learns(now_s, data):
        result = receive(now_s, data)
        packet = ARPPacket.parse(data)
        if packet.sender_protocol_address not in table._known:
            table.keep(packet.sender_protocol_address, packet.sender_hardware_address)
        return result

    table.receive = learns


def learns_from_answers_only(table):
    receive = table.receive

    def deaf(now_s, data):
        known = dict(table._known)
        result = receive(now_s, data)
        if ARPPacket.parse(data).opcode == 1:
            table._known = known
        return result

    table.receive = deaf


def never_moves(table):
    receive = table.receive

    def stubborn(now_s, data):
        known = dict(table._known)
        result = receive(now_s, data)
        table._known |= known
        return result

    table.receive = stubborn


def believes_groups(table):
    receive = table.receive

    def credulous(now_s, data):
        packet = ARPPacket.parse(data)
        if packet.sender_hardware_address[0] & 1:
            table.keep(packet.sender_protocol_address, packet.sender_hardware_address)
        return receive(now_s, data)

    table.receive = credulous
