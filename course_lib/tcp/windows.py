"""How the congestion window grows and shrinks: Reno (RFC 5681) and CUBIC (RFC 9438).

Both begin with slow start: one packet more for each acknowledgement, until the window reaches the
threshold. Above it,

* Reno adds one packet in a round trip, and halves the window after a loss;
* CUBIC follows a cubic curve of the *time* since the last loss, which is flat where the loss was,
  and shrinks to 0.7. Where Reno would be faster, it does as Reno does on average.

Windows are in packets.
"""

__all__ = ["cube_root", "cubic_at", "grow", "shrink"]

from course_lib.tcp.state import NOBODY, SECOND, Rules, Sender

_BETA, _C = 0.7, 0.4  # RFC 9438, sections 4.6 and 5
_ALPHA = 3 * (1 - _BETA) / (1 + _BETA)  # section 4.3
_SMALLEST = 2.0  # RFC 5681, equation (4)


def grow(sender: Sender, rules: Rules, acked: int, now_ns: int) -> None:
    """Enlarge the window for an acknowledgement of `acked` new packets."""
    if sender.window < sender.threshold:
        sender.window += 1.0
    elif sender.cubic == 0:
        sender.window += 1.0 / sender.window  # equation (3)
    else:
        _grow_cubic(sender, acked, now_ns)
    sender.window = min(sender.window, float(rules.largest_window))


def shrink(sender: Sender, in_flight: int) -> None:
    """Lower the threshold because of a loss or a mark; the caller sets the window."""
    if sender.cubic == 0:
        sender.threshold = max(in_flight / 2, _SMALLEST)
        return
    sender.threshold = max(in_flight * _BETA, _SMALLEST)
    sender.prior = sender.window
    if sender.window < sender.peak:  # fast convergence, section 4.7: leave room for a newcomer
        sender.peak = sender.window * (1 + _BETA) / 2
    else:
        sender.peak = sender.window
    sender.epoch_ns = NOBODY


def cubic_at(sender: Sender, elapsed_s: float) -> float:
    """Return W_cubic(t), section 4.2."""
    distance_s = elapsed_s - sender.climb_s
    return _C * distance_s * distance_s * distance_s + sender.peak


def cube_root(value: float) -> float:
    """Return the cube root by Newton's method: sums and products, the same on every machine."""
    if value <= 0.0:
        return 0.0
    root = 1.0
    while root * root * root < value:
        root *= 2.0
    while True:
        better = (2.0 * root + value / (root * root)) / 3.0
        if better >= root:
            return root
        root = better


def _grow_cubic(sender: Sender, acked: int, now_ns: int) -> None:
    if sender.epoch_ns == NOBODY:
        _start_epoch(sender, now_ns)
    elapsed_s = (now_ns - sender.epoch_ns) / SECOND
    pace = 1.0 if sender.estimate >= sender.prior else _ALPHA
    sender.estimate += pace * acked / sender.window
    if cubic_at(sender, elapsed_s) < sender.estimate:
        sender.window = max(sender.window, sender.estimate)  # section 4.3
        return
    target = cubic_at(sender, elapsed_s + sender.smoothed_ns / SECOND)
    target = min(max(target, sender.window), 1.5 * sender.window)
    sender.window += (target - sender.window) / sender.window  # section 4.4


def _start_epoch(sender: Sender, now_ns: int) -> None:
    sender.epoch_ns = now_ns
    sender.estimate = sender.window
    # After a time-out the window starts below the peak, but there is nothing to climb back to
    # (section 4.8): `timed_out` has set the peak to 0.
    sender.peak = max(sender.peak, sender.window)
    sender.climb_s = cube_root((sender.peak - sender.window) / _C)
