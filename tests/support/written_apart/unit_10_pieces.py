"""Unit 10, in small pieces."""

from math import ceil, sqrt


def up(a, b):
    return (a + b - 1) // b


def fill_path(rate_bits_per_s, there_ms, back_ms, packet_octets):
    octets = up(rate_bits_per_s * (there_ms + back_ms), 8000)
    return octets, up(octets, packet_octets)


def triangle(low, high):
    return (high + low) * (high - low + 1) // 2


def one_tooth(pipe_packets, buffer_packets):
    high = pipe_packets + buffer_packets
    low = high // 2
    short = max(0, pipe_packets - low)
    missing = short * (short + 1) // 2
    sent = triangle(low, high)
    return low, high, sent / (sent + missing)


def new_sender(segment_octets, window, threshold):
    state = {"w": window, "t": threshold, "n": 0}

    class Sender:
        def report(self):
            return state["w"], state["t"]

        def cut(self, flight):
            state["t"] = flight // 2 if flight // 2 > 2 * segment_octets else 2 * segment_octets

        def ack(self):
            if state["n"] >= 3:
                state["w"] = state["t"]
            elif state["w"] < state["t"]:
                state["w"] += segment_octets
            else:
                state["w"] += (segment_octets * segment_octets // state["w"]) or 1
            state["n"] = 0
            return self.report()

        def duplicate(self, flight):
            state["n"] += 1
            if state["n"] == 3:
                self.cut(flight)
                state["w"] = state["t"] + 3 * segment_octets
            if state["n"] > 3:
                state["w"] += segment_octets
            return self.report()

        def timeout(self, flight):
            self.cut(flight)
            state.update(w=segment_octets, n=0)
            return self.report()

    return Sender()


def pipe(rate_bits_per_s, round_trip_ms):
    return rate_bits_per_s * round_trip_ms / 1000 / (1500 * 8)


def smallest_buffer(rate_bits_per_s, round_trip_ms, flows, in_step):
    flows = 1 if in_step else flows
    return ceil(pipe(rate_bits_per_s, round_trip_ms) / sqrt(flows))


def one_packet_ms(rate_bits_per_s):
    return 1500 * 8 * 1000 / rate_bits_per_s


def wait_ms(found, rate_bits_per_s, percent):
    k, packets = 0, found[0]
    while packets * 100 < percent * sum(found):
        k += 1
        packets += found[k]
    return k * one_packet_ms(rate_bits_per_s)


class Bout:
    def __init__(self, start, interval):
        self.interval = interval
        self.next_at = start + interval
        self.done = 0

    def drops(self, now):
        if self.next_at > now:
            return False
        self.done += 1
        self.next_at = self.next_at + self.interval / sqrt(self.done)
        return True


class Watcher:
    def __init__(self, target_ms, interval_ms):
        self.target_ms, self.interval_ms = target_ms, interval_ms
        self.bout = None

    def leaves(self, now_ms, waited_ms):
        if waited_ms < self.target_ms:
            self.bout = None
            return False
        self.bout = self.bout or Bout(now_ms, self.interval_ms)
        return self.bout.drops(now_ms)


def new_watch(target_ms, interval_ms):
    return Watcher(target_ms, interval_ms)
