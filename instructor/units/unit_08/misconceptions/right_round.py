"""A scheduler without any fault, of which the misconceptions of exercise 8.4 get one part wrong."""

__all__ = ["Packet", "RightRound"]

Packet = tuple[int, int]


class RightRound:
    """Deficit round robin in small parts, of which others get one wrong."""

    def __init__(self, quanta: list[int]) -> None:
        self.quanta = list(quanta)
        self.sizes: list[list[int]] = [[] for _ in quanta]
        self.credit = [0] * len(quanta)
        self.line: list[int] = []
        self.has_earned = False

    def join(self, queue: int, octets: int) -> None:
        """Take a packet in."""
        if queue not in self.line:
            self.enter(queue)
        self.sizes[queue].append(octets)

    def enter(self, queue: int) -> None:
        """Put a queue on the list."""
        self.line.append(queue)

    def send(self) -> Packet | None:
        """Go along the list until a queue can pay."""
        if not self.line:
            return None
        self.earn()
        while not self.can_pay(self.line[0]):
            self.move_on()
            self.earn()
        return self.sent(self.line[0])

    def earn(self) -> None:
        """Let the head earn, once."""
        if not self.has_earned:
            self.credit[self.line[0]] += self.quanta[self.line[0]]
            self.has_earned = True

    def can_pay(self, queue: int) -> bool:
        """Tell whether the head has enough."""
        return self.sizes[queue][0] <= self.credit[queue]

    def move_on(self) -> None:
        """Put the head at the end."""
        self.line.append(self.line.pop(0))
        self.has_earned = False

    def sent(self, queue: int) -> Packet:
        """Take a packet out, and pay for it."""
        octets = self.sizes[queue].pop(0)
        self.credit[queue] -= octets
        if not self.sizes[queue]:
            self.leave(queue)
        return queue, octets

    def leave(self, queue: int) -> None:
        """Take an empty queue off the list."""
        self.line.remove(queue)
        self.credit[queue] = 0
        self.has_earned = False
