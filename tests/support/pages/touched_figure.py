"""A live figure touched without a page: what it says, what follows, how it comes to rest."""

import asyncio
from concurrent.futures import ThreadPoolExecutor


def said(explorer):
    """Return all that is read out."""
    return " ".join(explorer.picture.words)


def controls(explorer):
    """Return what controls stand at, by their actions."""
    return {one.action: one.now for one in explorer.picture.controls if hasattr(one, "now")}


def pictures_of(explorer, action, value=None):
    """Return each picture that follows a touch, one after the other."""
    seen = []
    explorer.observe(lambda _: seen.append(explorer.picture), names="view")
    explorer.act(action, value)
    explorer.unobserve_all()
    return seen


def in_a_loop(make, *touches):
    """Ask a new figure for its answer and touch it, in an event loop as pages do; let it rest."""

    async def rest():
        explorer = make()
        for number, (action, value) in enumerate((("answer", None), *touches), start=1):
            explorer._handle_custom_msg({"action": action, "value": value, "number": number}, [])
            await asyncio.sleep(0)
        await explorer._rest
        return explorer

    # In a thread of its own: browser tests leave a loop running in the one of the tests.
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(lambda: asyncio.run(rest())).result()
