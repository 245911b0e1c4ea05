"""Unit 11, with loops and lists and little else."""


class LossStage:
    def __init__(self, every):
        self.every = every
        self.names = []
        self.counts = []

    def passes(self, packet):
        if packet[9] != 6:
            return True
        if (packet[6] % 32) * 256 + packet[7] > 0:
            return True
        at = (packet[0] % 16) * 4
        end = packet[2] * 256 + packet[3]
        header = (packet[at + 12] // 16) * 4
        if end - at - header < 1:
            return True
        name = []
        for place in range(12, 20):
            name.append(packet[place])
        for place in range(at, at + 4):
            name.append(packet[place])
        place = 0
        while place < len(self.names):
            if self.names[place] == name:
                break
            place = place + 1
        if place == len(self.names):
            self.names.append(name)
            self.counts.append(0)
        self.counts[place] = self.counts[place] + 1
        if self.counts[place] == self.every:
            self.counts[place] = 0
            return False
        return True


def new_loss(every):
    return LossStage(every)


class ReceivingEnd:
    def __init__(self, wanted):
        self.wanted = wanted
        self.pieces = []  # distances from the wanted octet: begin, end

    def is_before(self, one, other):
        distance = other - one
        if distance < 0:
            distance = distance + 4294967296
        return distance > 0 and distance < 2147483648

    def receive(self, first, octets):
        begin = first - self.wanted
        if begin < -2147483648:
            begin = begin + 4294967296
        if begin >= 2147483648:
            begin = begin - 4294967296
        end = begin + octets
        if begin < 0:
            begin = 0
        if end <= begin:
            return self.wanted
        rest = []
        for one in self.pieces:
            if one[1] < begin or one[0] > end:
                rest.append(one)
            else:
                if one[0] < begin:
                    begin = one[0]
                if one[1] > end:
                    end = one[1]
        rest.append([begin, end])
        rest.sort()
        if rest[0][0] == 0:
            step = rest[0][1]
            self.wanted = (self.wanted + step) % 4294967296
            self.pieces = []
            for one in rest[1:]:
                self.pieces.append([one[0] - step, one[1] - step])
        else:
            self.pieces = rest
        return self.wanted

    def held(self):
        told = []
        for one in self.pieces:
            begin = (self.wanted + one[0]) % 4294967296
            end = (self.wanted + one[1]) % 4294967296
            told.append((begin, end))
        return told


def new_receiver(wanted):
    return ReceivingEnd(wanted)


class Clock:
    def __init__(self, least_ms, tick_ms):
        self.least = least_ms
        self.tick = tick_ms
        self.wait = 1000
        self.mean = None
        self.spread = None
        self.flying = []  # number, time, how often
        self.rings = None

    def sent(self, now_ms, number):
        found = False
        for one in self.flying:
            if one[0] == number:
                one[1] = now_ms
                one[2] = one[2] + 1
                found = True
        if not found:
            self.flying.append([number, now_ms, 1])
        if self.rings is None:
            self.rings = now_ms + self.wait

    def acknowledged(self, now_ms, number):
        left = []
        for one in self.flying:
            if one[0] != number:
                left.append(one)
            elif one[2] == 1:
                self.learn(now_ms - one[1])
        self.flying = left
        if len(left) == 0:
            self.rings = None
        else:
            self.rings = now_ms + self.wait
        return self.wait

    def learn(self, trip):
        if self.mean is None:
            self.mean = trip
            self.spread = trip / 2
        else:
            away = trip - self.mean
            if away < 0:
                away = -away
            self.spread = 0.75 * self.spread + 0.25 * away
            self.mean = 0.875 * self.mean + 0.125 * trip
        more = 4 * self.spread
        if more < self.tick:
            more = self.tick
        self.wait = self.mean + more
        if self.wait < self.least:
            self.wait = self.least
        if self.wait > 60000:
            self.wait = 60000

    def expired(self, now_ms):
        self.wait = self.wait * 2
        if self.wait > 60000:
            self.wait = 60000
        self.rings = now_ms + self.wait
        return self.wait

    def due(self):
        return self.rings


def new_timer(least_ms, tick_ms):
    return Clock(least_ms, tick_ms)


def sent_each_round(lost, rounds, threshold, largest, timeout_rounds):
    told = []
    window = 1
    number = 1
    pause = timeout_rounds
    while len(told) < rounds:
        count = window
        if count > largest:
            count = largest
        told.append(count)
        first = 0
        behind = 0
        for one in range(number, number + count):
            if one in lost:
                if first == 0:
                    first = one
            elif first > 0:
                behind = behind + 1
        number = number + count
        if first == 0:
            pause = timeout_rounds
            if window < threshold:
                window = window + count
                if window > threshold:
                    window = threshold
            else:
                window = window + 1
        else:
            threshold = count // 2
            if behind >= 3:
                window = threshold
            else:
                for _ in range(pause):
                    told.append(0)
                pause = pause * 2
                window = 1
    return told[:rounds]


def rate_with_losses(every, packets_per_ack, packet_octets, round_trip_ms, timeout_ms):
    top = 0
    while True:
        low = (top + 1) // 2
        if low < 1:
            low = 1
        total = 0
        count = 0
        for window in range(low, top + 2):
            for _ in range(packets_per_ack):
                total = total + window
                count = count + 1
        if total > every:
            break
        top = top + 1
        packets = total
        trips = count
    time = trips * round_trip_ms
    if top < 4:
        time = time + timeout_ms
    mean = packets / trips
    return top, mean * (1 / packets) ** 0.5, packets * packet_octets * 8 * 1000 / time


def fit_exponent(sent, lost, windows, largest, student):
    import math

    told = []
    xs = []
    ys = []
    for place in range(len(sent)):
        if lost[place] < 10:
            told.append("few losses")
        elif windows[place] > 0.9 * largest:
            told.append("full line")
        elif windows[place] < 4:
            told.append("time-outs")
        else:
            told.append("counts")
            xs.append(math.log(lost[place] / sent[place]))
            ys.append(math.log(windows[place]))
    n = len(xs)
    middle_x = sum(xs) / n
    middle_y = sum(ys) / n
    wide = 0
    both = 0
    for place in range(n):
        wide = wide + (xs[place] - middle_x) ** 2
        both = both + (xs[place] - middle_x) * (ys[place] - middle_y)
    slope = both / wide
    squares = 0
    for place in range(n):
        line = middle_y + slope * (xs[place] - middle_x)
        squares = squares + (ys[place] - line) ** 2
    reach = student[n - 2] * math.sqrt(squares / (n - 2) / wide)
    return told, slope, reach
