// Plain geometry of boxes, points and lines.

export const RADIUS = 15; // of a pier
export const ENDS = 22; // of one at which something begins or ends
export const LINE = 29; // of words, from one to the next
export const GAP = 3; // between words

export const clamp = (value, low, high) => Math.min(Math.max(value, low), high);
export const around = (x, y, width, height) => ({
  left: x - width / 2,
  top: y - height / 2,
  right: x + width / 2,
  bottom: y + height / 2,
});
export const hits = (a, b, gap = GAP) =>
  a.left < b.right + gap &&
  b.left < a.right + gap &&
  a.top < b.bottom + gap &&
  b.top < a.bottom + gap;
export const isInside = (a, area) =>
  a.left >= area.left && a.right <= area.right && a.top >= area.top && a.bottom <= area.bottom;

/** True if a line from p to q touches a box: Liang and Barsky's test, by parts of the line. */
export function crosses(p, q, box) {
  let from = 0,
    to = 1;
  for (const [start, step, low, high] of [
    [p.x, q.x - p.x, box.left, box.right],
    [p.y, q.y - p.y, box.top, box.bottom],
  ]) {
    if (step === 0) {
      if (start < low || start > high) return false;
      continue;
    }
    const [one, other] = [(low - start) / step, (high - start) / step];
    from = Math.max(from, Math.min(one, other));
    to = Math.min(to, Math.max(one, other));
  }
  return from <= to;
}

/** How far a point is from the line between two others. */
export function distanceTo(point, p, q) {
  const [dx, dy] = [q.x - p.x, q.y - p.y];
  const part = clamp(
    ((point.x - p.x) * dx + (point.y - p.y) * dy) / (dx * dx + dy * dy || 1),
    0,
    1,
  );
  return Math.hypot(p.x + part * dx - point.x, p.y + part * dy - point.y);
}
