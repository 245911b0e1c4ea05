"""Unit 09, in small pieces."""

# ruff: noqa: RUF017  # habits of whoever wrote this

MILLION = 1_000_000


def heads(lines):
    return {number: line[0] for number, line in enumerate(lines) if line}


def winner_of(output, lines):
    """Return the input that may send to an output, or None."""
    wanting = [number for number, head in heads(lines).items() if head == output]
    longest = max((len(lines[number]) for number in wanting), default=0)
    for number in wanting:
        if len(lines[number]) == longest:
            return number
    return None


def cross_once(lines):
    winners = [winner_of(output, lines) for output in range(len(lines))]

    def crossing(number):
        return winners.index(number) if number in winners else None

    def blocked_at(number):
        if not lines[number] or number in winners:
            return []
        by = winners[lines[number][0]]
        return [
            (number, output, by)
            for output, winner in enumerate(winners)
            if winner is None and output in lines[number]
        ]

    numbers = range(len(lines))
    return [crossing(one) for one in numbers], sum((blocked_at(one) for one in numbers), [])


class OneInput:
    """An input with a line for each output."""

    def __init__(self, outputs):
        self.names = [[] for _ in range(outputs)]

    def lengths(self):
        return [len(line) for line in self.names]

    def may_send(self, output):
        return output is None or bool(self.names[output])

    def send(self, output):
        return None if output is None else self.names[output].pop(0)


class AllInputs:
    def __init__(self, ports):
        self.each = [OneInput(ports) for _ in range(ports)]

    def join(self, number, output, name):
        self.each[number].names[output].append(name)

    def waiting(self):
        return [one.lengths() for one in self.each]

    def is_legal(self, matched):
        used = [output for output in matched if output is not None]
        if len(set(used)) < len(used):
            return False
        return all(one.may_send(output) for one, output in zip(self.each, matched, strict=True))

    def cross(self, matched):
        if not self.is_legal(matched):
            return None
        return [one.send(output) for one, output in zip(self.each, matched, strict=True)]


def new_inputs(ports):
    return AllInputs(ports)


def first_illegal(waiting, matched):
    for number, output in enumerate(matched):
        if output is None:
            continue
        if waiting[number][output] < 1 or output in matched[:number]:
            return number
    return None


def first_that_can_be_added(waiting, matched):
    for number, output in enumerate(matched):
        if output is None:
            for free, cells in enumerate(waiting[number]):
                if cells and free not in matched:
                    return [number, free]
    return None


def way_from(number, waiting, matched, passed):
    """Return a way from an input to a free output that avoids outputs, or None."""
    for output, cells in enumerate(waiting[number]):
        if not cells or output in passed:
            continue
        passed.add(output)
        if output not in matched:
            return [number, output]
        rest = way_from(matched.index(output), waiting, matched, passed)
        if rest is not None:
            return [number, output, *rest]
    return None


def judge_matching(waiting, matched):
    illegal = first_illegal(waiting, matched)
    if illegal is not None:
        return "not legal", [illegal]
    more = first_that_can_be_added(waiting, matched)
    if more:
        return "not maximal", more
    for number, output in enumerate(matched):
        if output is None:
            way = way_from(number, waiting, matched, set())
            if way:
                return "not maximum", way
    return "maximum", []


class Pointer:
    def __init__(self, ports):
        self.order = list(range(ports))

    def choose(self, wanted):
        for port in self.order:
            if port in wanted:
                return port
        return None

    def move_behind(self, port):
        while self.order[-1] != port:
            self.order.append(self.order.pop(0))


class Slots:
    def __init__(self, ports):
        self.ports = ports
        self.at_inputs = [Pointer(ports) for _ in range(ports)]
        self.at_outputs = [Pointer(ports) for _ in range(ports)]

    def one_round(self, waiting, done):
        inputs = {one for one, _ in done}
        outputs = {one for _, one in done}
        granted = {}
        for output in range(self.ports):
            if output not in outputs:
                wanting = {
                    number
                    for number in range(self.ports)
                    if number not in inputs and waiting[number][output]
                }
                chosen = self.at_outputs[output].choose(wanting)
                granted.setdefault(chosen, set()).add(output)
        granted.pop(None, None)
        return [
            (number, self.at_inputs[number].choose(granted[number])) for number in sorted(granted)
        ]

    def match(self, waiting):
        rounds, done = [], []
        while pairs := self.one_round(waiting, done):
            rounds.append(pairs)
            done += pairs
        for number, output in rounds[0] if rounds else []:
            self.at_inputs[number].move_behind(output)
            self.at_outputs[output].move_behind(number)
        return rounds


def new_matcher(ports):
    return Slots(ports)


def gap(stage):
    """Return how many cycles lie between two packets that leave a stage."""
    _, cycles, units = stage
    return cycles / units


def for_the_host(slowest, host):
    """Return how many of a million packets the host can take."""
    if host is None:
        return 0
    return min(MILLION, int(gap(slowest) * MILLION / host[0]))


def pipeline_limits(stages, clock_hz, host):
    slowest = sorted(stages, key=gap, reverse=True)[0]
    most = for_the_host(slowest, host)
    limit, cycles_apart = slowest[0], gap(slowest)
    if host is not None and host[1] > most:
        limit, cycles_apart = "host", host[0] * host[1] / MILLION
    return limit, int(clock_hz / cycles_apart), sum(stage[1] for stage in stages), most


def best_pair(waiting, matched):
    """Return the free input and output with the most cells; -1 twice if there are none."""
    best, pair = 0, (-1, -1)
    for number in range(len(matched)):
        if matched[number] < 0:
            for output in range(len(matched)):
                if waiting[number, output] > best and not is_taken(output, matched):
                    best, pair = waiting[number, output], (number, output)
    return pair


def is_taken(output, matched):
    for one in matched:  # noqa: SIM110  # a loop that can be compiled
        if one == output:
            return True
    return False


def longest_first(waiting, settings, memory, matched):
    for _ in range(len(matched)):
        number, output = best_pair(waiting, matched)
        if number >= 0:
            matched[number] = output
