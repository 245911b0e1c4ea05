"""Other right answers for exercise 9.4, each in a way of its own."""

__all__ = ["OTHERS"]

Table = list[list[int]]
Pairs = list[tuple[int, int]]


class MatcherByTurning:
    """Turn lists so that they begin at the pointer."""

    def __init__(self, ports: int) -> None:
        self.grant = dict.fromkeys(range(ports), 0)
        self.accept = dict.fromkeys(range(ports), 0)

    @staticmethod
    def turned(pointer: int, ports: int) -> list[int]:
        """List all ports from the pointer on."""
        return [*range(pointer, ports), *range(pointer)]

    def match(self, waiting: Table) -> list[Pairs]:
        """Go on as long as pairs are found."""
        ports = len(waiting)
        inputs, outputs = set(range(ports)), set(range(ports))
        rounds: list[Pairs] = []
        while True:
            granted: dict[int, set[int]] = {}
            for output in outputs:
                for number in self.turned(self.grant[output], ports):
                    if number in inputs and waiting[number][output]:
                        granted.setdefault(number, set()).add(output)
                        break
            if not granted:
                return rounds
            pairs = []
            for number, offers in granted.items():
                output = next(o for o in self.turned(self.accept[number], ports) if o in offers)
                pairs.append((number, output))
                inputs.remove(number)
                outputs.remove(output)
                if not rounds:
                    self.grant[output] = 0 if number == ports - 1 else number + 1
                    self.accept[number] = 0 if output == ports - 1 else output + 1
            rounds.append(sorted(pairs))


class MatcherByOrder:
    """Keep for each port the order in which it prefers the others; a pair goes to its end."""

    def __init__(self, ports: int) -> None:
        self.of_outputs = [list(range(ports)) for _ in range(ports)]
        self.of_inputs = [list(range(ports)) for _ in range(ports)]

    @staticmethod
    def moved(order: list[int], partner: int) -> list[int]:
        """Put all up to the partner to the end."""
        place = order.index(partner) + 1
        return order[place:] + order[:place]

    def match(self, waiting: Table) -> list[Pairs]:
        """Work on a copy of the table, in which matched ports have no cells any more."""
        left = [[bool(cells) for cells in row] for row in waiting]
        rounds: list[Pairs] = []
        while any(map(any, left)):
            offers: list[list[int]] = [[] for _ in left]
            for output, order in enumerate(self.of_outputs):
                asking = [number for number in order if left[number][output]]
                if asking:
                    offers[asking[0]].append(output)
            pairs = [
                (number, min(outputs, key=self.of_inputs[number].index))
                for number, outputs in enumerate(offers)
                if outputs
            ]
            for number, output in pairs:
                left[number] = [False] * len(left)
                for row in left:
                    row[output] = False
                if not rounds:
                    self.of_outputs[output] = self.moved(self.of_outputs[output], number)
                    self.of_inputs[number] = self.moved(self.of_inputs[number], output)
            rounds.append(pairs)
        return rounds


class MatcherByDistance:
    """Count how far each port is from a pointer; the nearest one is chosen."""

    def __init__(self, ports: int) -> None:
        self.ports = ports
        self.last_granted = [-1] * ports
        self.last_accepted = [-1] * ports

    def distance(self, last: int, port: int) -> int:
        """Count from the port behind the last partner."""
        return (port - last - 1) % self.ports

    def one_round(self, wanted: set[tuple[int, int]]) -> Pairs:
        """Return the pairs of one round among those that are wanted."""
        grants: dict[int, int] = {}
        for output in {one for _, one in wanted}:
            grants[output] = min(
                (number for number, one in wanted if one == output),
                key=lambda number, output=output: self.distance(  # type: ignore[misc]
                    self.last_granted[output], number
                ),
            )
        best: dict[int, tuple[int, int]] = {}
        for output, number in grants.items():
            far = self.distance(self.last_accepted[number], output), output
            best[number] = min(far, best.get(number, far))
        return sorted((number, output) for number, (_, output) in best.items())

    def match(self, waiting: Table) -> list[Pairs]:
        """Take pairs out of what is wanted, round by round."""
        ports = range(self.ports)
        wanted = {(number, o) for number in ports for o in ports if waiting[number][o] > 0}
        rounds: list[Pairs] = []
        while wanted:
            pairs = self.one_round(wanted)
            inputs, outputs = {one for one, _ in pairs}, {one for _, one in pairs}
            wanted = {one for one in wanted if one[0] not in inputs and one[1] not in outputs}
            if not rounds:
                for number, output in pairs:
                    self.last_granted[output], self.last_accepted[number] = number, output
            rounds.append(pairs)
        return rounds


OTHERS = (MatcherByTurning, MatcherByOrder, MatcherByDistance)
