"""Where the other machine is: only where the room says it may be.

An end sends nothing to anybody but the addresses that the room handed out. Who sends from elsewhere
is not answered and not looked into, so a stranger who can't pretend to such an address costs one
look into a table.

Of these addresses it uses the one from which the other machine spoke last. So a laptop may change
from its cable to its radio, if the room knows both. Two things must hold for a change:

* The datagram was sealed in the session of now. A hello won't do: somebody may have kept it.
* Its number is higher than all before. Somebody who holds a genuine datagram back and sends it on
  later from elsewhere changes nothing.

A new address that the room does not know is *not* followed, even with a perfect seal. Whoever sits
on the way could take a fresh datagram, send it on from the address of a third machine, and the
stream would flood that machine. The seal says who wrote the datagram; it can't say from where. So
the other machine tells the room where it is now, and the room hands that out (`change_terms`).

The port is another matter where the room saw a translator of addresses, which changes ports while
the address stays (RFC 4787). With `ports_may_change` another port of the same machine is followed,
but none below 1024, where the services of a machine listen.
"""

__all__ = ["FIRST_PORT_OF_USERS", "OtherMachine"]

from course_lib.links.terms import Address, LinkTerms

FIRST_PORT_OF_USERS = 1024  # RFC 6335, section 6: those below are assigned to services


class OtherMachine:
    """The addresses of the other machine, and the one that it uses now."""

    def __init__(self, terms: LinkTerms) -> None:
        self.current: Address | None = None
        self.change_terms(terms)

    def change_terms(self, terms: LinkTerms) -> None:
        """Go by other addresses from now on; one that is no longer among them is not used."""
        self._handed_out = terms.addresses
        self._hosts = {host for host, _ in terms.addresses} if terms.ports_may_change else set()
        if self.current is not None and not self.may_be_at(self.current):
            self.current = None

    def may_be_at(self, address: Address) -> bool:
        """Return whether the room allows the other machine to be there."""
        host, port = address
        return address in self._handed_out or (host in self._hosts and port >= FIRST_PORT_OF_USERS)

    def is_at(self, address: Address) -> None:
        """Take note of where a datagram came from that is genuine and newer than all before."""
        self.current = address

    def wherever(self) -> tuple[Address, ...]:
        """Return all addresses at which it may be, the one of now first."""
        others = [each for each in self._handed_out if each != self.current]
        return (*(() if self.current is None else (self.current,)), *others)
