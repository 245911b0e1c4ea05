"""Unit 08, step by step."""


def waits_in_line(came_ms, takes_ms, room):
    waits = []
    leaves = []
    gone = 0
    free_at = 0
    for i in range(len(came_ms)):
        now = came_ms[i]
        while gone < len(leaves) and leaves[gone] <= now:
            gone = gone + 1
        if len(leaves) - gone >= room:
            waits.append(None)
            continue
        begin = now
        if len(leaves) > 0 and free_at > now:
            begin = free_at
        waits.append(begin - now)
        free_at = begin + takes_ms[i]
        leaves.append(free_at)
    return waits


def three_means(came_ms, left_ms, from_ms, to_ms):
    window = to_ms - from_ms
    spent = 0
    arrivals = 0
    times = 0
    for i in range(len(came_ms)):
        if left_ms[i] is None:
            continue
        begin = came_ms[i]
        end = left_ms[i]
        if from_ms <= begin < to_ms:
            arrivals = arrivals + 1
            times = times + end - begin
        if begin < from_ms:
            begin = from_ms
        if end > to_ms:
            end = to_ms
        if end > begin:
            spent = spent + end - begin
    if arrivals == 0:
        return spent / window, 0.0, None
    return spent / window, arrivals / window, times / arrivals


class Meter:
    def __init__(self, peak_kbit_s, peak_octets, committed_kbit_s, committed_octets):
        self.peak_per_ms = peak_kbit_s // 8
        self.peak_depth = peak_octets
        self.committed_per_ms = committed_kbit_s // 8
        self.committed_depth = committed_octets
        self.peak = peak_octets
        self.committed = committed_octets
        self.last_ms = 0

    def tokens(self, now_ms):
        gone = now_ms - self.last_ms
        self.last_ms = now_ms
        self.peak = self.peak + gone * self.peak_per_ms
        if self.peak > self.peak_depth:
            self.peak = self.peak_depth
        self.committed = self.committed + gone * self.committed_per_ms
        if self.committed > self.committed_depth:
            self.committed = self.committed_depth
        return self.peak, self.committed

    def colour(self, now_ms, octets):
        self.tokens(now_ms)
        if self.peak < octets:
            return "red"
        self.peak = self.peak - octets
        if self.committed < octets:
            return "yellow"
        self.committed = self.committed - octets
        return "green"


def new_meter(peak_kbit_s, peak_octets, committed_kbit_s, committed_octets):
    return Meter(peak_kbit_s, peak_octets, committed_kbit_s, committed_octets)


class RoundRobin:
    def __init__(self, quanta):
        self.quanta = []
        self.waiting = []
        self.credit = []
        for quantum in quanta:
            self.quanta.append(quantum)
            self.waiting.append([])
            self.credit.append(0)
        self.order = []
        self.has_earned = False

    def join(self, queue, octets):
        if len(self.waiting[queue]) == 0:
            self.order.append(queue)
            self.credit[queue] = 0
        self.waiting[queue].append(octets)

    def send(self):
        while len(self.order) > 0:
            queue = self.order[0]
            if not self.has_earned:
                self.credit[queue] = self.credit[queue] + self.quanta[queue]
                self.has_earned = True
            octets = self.waiting[queue][0]
            if octets > self.credit[queue]:
                del self.order[0]
                self.order.append(queue)
                self.has_earned = False
                continue
            del self.waiting[queue][0]
            self.credit[queue] = self.credit[queue] - octets
            if len(self.waiting[queue]) == 0:
                del self.order[0]
                self.credit[queue] = 0
                self.has_earned = False
            return queue, octets
        return None


def new_round_robin(quanta):
    return RoundRobin(quanta)


class UrgentFirst:
    def __init__(self, levels, limit):
        self.limit = limit
        self.waiting = []
        self.passed = []
        for _ in range(levels):
            self.waiting.append([])
            self.passed.append(0)

    def join(self, level, name):
        self.waiting[level].append(name)

    def send(self):
        sender = -1
        for level in range(len(self.waiting)):
            if len(self.waiting[level]) > 0 and self.passed[level] >= self.limit:
                sender = level
                break
        if sender == -1:
            for level in range(len(self.waiting)):
                if len(self.waiting[level]) > 0:
                    sender = level
                    break
        if sender == -1:
            return None
        for level in range(sender + 1, len(self.waiting)):
            if len(self.waiting[level]) > 0:
                self.passed[level] = self.passed[level] + 1
        self.passed[sender] = 0
        name = self.waiting[sender][0]
        del self.waiting[sender][0]
        return name


def new_urgent_first(levels, limit):
    return UrgentFirst(levels, limit)


def compare_with_theory(waits_ms, warm_up, batches, t, theory_ms):
    length = (len(waits_ms) - warm_up) // batches
    sums = []
    total = 0
    place = warm_up
    for _ in range(batches):
        batch = 0
        for _ in range(length):
            batch = batch + waits_ms[place]
            place = place + 1
        sums.append(batch)
        total = total + batch
    count = batches * length
    # `batches` times each difference from the mean is whole, if it is told in 1 / count
    squares = 0
    for batch in sums:
        squares = squares + (batch * batches - total) ** 2
    below = count * count * (batches - 1) * batches
    reach = t * (squares / below) ** 0.5
    apart = (theory_ms * count - total) ** 2 * (batches - 1) * batches
    return total / count, reach, apart <= t * t * squares
