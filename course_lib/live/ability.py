"""Can this machine have a network of real kernels? Find out by making one, and say it in words.

    where = live_ability()
    where                     # shows a sentence, for the top of a workbook
    network = live_or_simulated(plan)

Both networks are asked in the same way (`course_lib.live.measuring.probes`). What differs: in the
simulated one time is counted in events, and its hosts speak no TCP.
"""

__all__ = ["Ability", "live_ability", "live_or_simulated"]

from typing import NamedTuple

from course_lib.live.private_network.plan import LivePlan
from course_lib.live.private_network.private_network import PrivateNetwork
from course_lib.live.private_network.refusals import NoAbilityError
from course_lib.live.private_network.trial import try_private_network
from course_lib.live.simulated_network import SimulatedNetwork


class Ability(NamedTuple):
    """Whether private networks can be had here; if not, which step failed, why, and what to do."""

    is_there: bool
    step: str = ""
    reason: str = ""
    advice: str = ""

    def __repr__(self) -> str:
        """Return it in words."""
        if self.is_there:
            return (
                "This machine can have a private network. Packets in it are real: each host is a "
                "kernel of its own, shut off from every other network."
            )
        return (
            "There is no private network on this machine, so what follows runs on the simulated "
            f"network. Step that failed: {self.step}. Reason: {self.reason}. {self.advice}"
        )


def live_ability() -> Ability:
    """Try it, in a process that is thrown away; half a second, and nothing is left of it."""
    try:
        try_private_network()
    except NoAbilityError as refused:
        return Ability(False, refused.step, refused.reason, refused.advice)
    return Ability(True)


def live_or_simulated(plan: LivePlan, ability: Ability) -> PrivateNetwork | SimulatedNetwork:
    """Return the network of this plan, to be used in a `with` block: of real kernels, if can be.

    ability: what `live_ability` has found out; somebody who wants the simulated network on a
    machine that can do better gives `Ability(False)`.
    """
    return PrivateNetwork(plan) if ability.is_there else SimulatedNetwork(plan)
