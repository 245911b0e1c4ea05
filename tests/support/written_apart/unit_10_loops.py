"""Unit 10, step by step."""


def fill_path(rate_bits_per_s, there_ms, back_ms, packet_octets):
    time_ms = there_ms + back_ms
    amount = rate_bits_per_s * time_ms
    octets = amount // 8000
    if amount % 8000 != 0:
        octets = octets + 1
    packets = octets // packet_octets
    if octets % packet_octets != 0:
        packets = packets + 1
    return octets, packets


def one_tooth(pipe_packets, buffer_packets):
    high = pipe_packets + buffer_packets
    low = high // 2
    sent = 0
    possible = 0
    w = low
    while w <= high:
        sent += w
        if w > pipe_packets:
            possible += w
        else:
            possible += pipe_packets
        w += 1
    return low, high, sent / possible


class TcpSender:
    def __init__(self, mss, cwnd, ssthresh):
        self.mss = mss
        self.cwnd = cwnd
        self.ssthresh = ssthresh
        self.dups = 0

    def ack(self):
        if self.dups >= 3:
            self.cwnd = self.ssthresh
        else:
            if self.cwnd < self.ssthresh:
                self.cwnd = self.cwnd + self.mss
            else:
                step = self.mss * self.mss // self.cwnd
                if step < 1:
                    step = 1
                self.cwnd = self.cwnd + step
        self.dups = 0
        return self.cwnd, self.ssthresh

    def duplicate(self, flight):
        self.dups = self.dups + 1
        if self.dups == 3:
            half = flight // 2
            if half < 2 * self.mss:
                half = 2 * self.mss
            self.ssthresh = half
            self.cwnd = half + 3 * self.mss
        elif self.dups > 3:
            self.cwnd = self.cwnd + self.mss
        return self.cwnd, self.ssthresh

    def timeout(self, flight):
        half = flight // 2
        if half < 2 * self.mss:
            half = 2 * self.mss
        self.ssthresh = half
        self.cwnd = self.mss
        self.dups = 0
        return self.cwnd, self.ssthresh


def new_sender(segment_octets, window, threshold):
    return TcpSender(segment_octets, window, threshold)


def smallest_buffer(rate_bits_per_s, round_trip_ms, flows, in_step):
    bits = rate_bits_per_s * round_trip_ms / 1000
    packets = bits / 8 / 1500
    if not in_step:
        packets = packets / flows**0.5
    whole = int(packets)
    if whole < packets:
        whole += 1
    return whole


def wait_ms(found, rate_bits_per_s, percent):
    total = 0
    for n in found:
        total += n
    seen = 0
    for k in range(len(found)):
        seen += found[k]
        if seen * 100 >= percent * total:
            one = 1500 * 8 / rate_bits_per_s * 1000
            return k * one
    return None


class Watch:
    def __init__(self, target, interval):
        self.target = target
        self.interval = interval
        self.on = False
        self.k = 0
        self.due = 0

    def leaves(self, now_ms, waited_ms):
        if waited_ms < self.target:
            self.on = False
            return False
        if not self.on:
            self.on = True
            self.k = 0
            self.due = now_ms + self.interval
            return False
        if now_ms >= self.due:
            self.k += 1
            self.due += self.interval / self.k**0.5
            return True
        return False


def new_watch(target_ms, interval_ms):
    return Watch(target_ms, interval_ms)
