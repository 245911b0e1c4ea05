// Where things stand on the map, so that no words overlap. Plain geometry: nothing is drawn here.

import { GAP, RADIUS, around, clamp, crosses, hits, isInside } from "./geometry.js";

const DISTANCES = [0, 22, 48, 78, 110, 150, 200, 260, 330, 410];
const BELOW = 4; // of 16 directions, from the right on downwards
const LINE_COST = 16,
  OVER_A_PIER = 5000,
  OVER_WORDS = 10_000,
  OLD_PLACE = 26,
  LEADER_FROM = 30;

/** Stretch the points of a plan to an area. */
export function stretch(points, area) {
  const fit = (axis, low, high) => {
    const all = points.map((one) => one[axis]),
      least = Math.min(...all),
      span = Math.max(...all) - least;
    return (one) => (span ? low + ((one[axis] - least) / span) * (high - low) : (low + high) / 2);
  };
  const [x, y] = [fit("x", area.left, area.right), fit("y", area.top, area.bottom)];
  return points.map((one) => ({ key: one.key, x: x(one), y: y(one) }));
}

/** True if all names stand close to their piers, and over nothing else. */
export const isCalm = (names) =>
  [...names.values()].every((one) => one.cost < OVER_A_PIER && !one.leader);

/**
 * Find a place for each pier's words: near, over no other words and no pier, over few lines.
 * `sizes` has the widths of the rows by key; `before` the places until now, which are kept if they
 * are as good. In a lattice all names stand below their piers, and only what finds no room there
 * is moved. Returns boxes by key; `leader` says that a thin line joins the words to the pier.
 */
export function placeNames(
  nodes,
  segments,
  sizes,
  area,
  { before = new Map(), isLattice = false } = {},
) {
  const all = [...nodes.values()],
    placed = new Map();
  const bodies = all.map((one) => around(one.x, one.y, 2 * RADIUS + 2, 2 * RADIUS + 2));
  const ground = { bodies, segments, area };
  const others = (node) => [...placed].filter(([key]) => key !== node.key).map(([, box]) => box);
  const settle = (node) =>
    placed.set(
      node.key,
      bestName(node, sizes.get(node.key), others(node), ground, before.get(node.key)),
    );
  if (isLattice) {
    for (const node of all) placed.set(node.key, nameAt(node, sizes.get(node.key), 0, BELOW));
    const rows = (node) => sizes.get(node.key).rows.length;
    for (const node of all.filter((one) => rows(one) > 1).sort((a, b) => rows(b) - rows(a))) {
      if (costOf(placed.get(node.key), node, others(node), ground) >= OVER_A_PIER) settle(node);
    }
    return placed;
  }
  const crowd = (one) =>
    all.filter((other) => Math.hypot(other.x - one.x, (other.y - one.y) * 2) < 180).length;
  const order = all.sort((a, b) => crowd(b) - crowd(a));
  for (let round = 0; round < 3; round++) for (const node of order) settle(node);
  return placed;
}

/** The box of a pier's words in one direction from it, with a part for each row. */
function nameAt(node, { width, height, rows }, ring, turn) {
  const angle = (turn * Math.PI) / 8,
    [dx, dy] = [Math.cos(angle), Math.sin(angle)],
    reach = RADIUS + 3 + DISTANCES[ring];
  const x = node.x + dx * (reach + width / 2),
    y = node.y + dy * (reach + height / 2);
  const box = {
    ...around(x, y, width, height),
    ring,
    place: ring * 16 + turn,
    leader: DISTANCES[ring] > LEADER_FROM,
    cost: 0,
  };
  box.anchor = x - node.x > RADIUS + 4 ? "start" : x - node.x < -RADIUS - 4 ? "end" : "middle";
  box.end = { x: clamp(node.x, box.left, box.right), y: clamp(node.y, box.top, box.bottom) };
  box.parts = rows.map((wide, row) => {
    const left = { start: box.left, middle: x - wide / 2, end: box.right - wide }[box.anchor];
    return {
      left,
      right: left + wide,
      top: box.top + (row * height) / rows.length,
      bottom: box.top + ((row + 1) * height) / rows.length,
    };
  });
  return box;
}

const touch = (box, other, gap) =>
  box.parts.some((one) => (other.parts ?? [other]).some((two) => hits(one, two, gap)));

function costOf(box, node, others, { bodies, segments, area }, old) {
  if (!isInside(box, area)) return Infinity;
  let cost = DISTANCES[box.ring] + (box.place % 16 === BELOW ? 0 : 4);
  for (const body of bodies) if (touch(box, body, 1)) cost += OVER_A_PIER;
  for (const other of others) if (touch(box, other, GAP)) cost += OVER_WORDS;
  if (box.leader) for (const other of others) if (crosses(node, box.end, other)) cost += 120;
  for (const [from, to] of segments) if (crosses(from, to, box)) cost += LINE_COST;
  return old && old.place === box.place ? cost - OLD_PLACE : cost;
}

function bestName(node, size, others, ground, old) {
  let best = null;
  for (let ring = 0; ring < DISTANCES.length && !(best && best.cost < DISTANCES[ring]); ring++) {
    for (let turn = 0; turn < 16; turn++) {
      const box = nameAt(node, size, ring, turn);
      box.cost = costOf(box, node, others, ground, old);
      if (box.cost < (best?.cost ?? Infinity)) best = box;
    }
  }
  return best ?? nameAt(node, size, 0, BELOW);
}

const KINDS = [
  [124, 60, false],
  [124, 31, false],
  [80, 31, true],
]; // width, height, is small
const ALONG = [0.5, 0.42, 0.58, 0.34, 0.66, 0.27, 0.73, 0.2, 0.8];
const ASIDE = [0, 22, -22, 40, -40];

/**
 * Find a place for each link's words, on the line or beside it; what does not fit has none.
 * It is as large as the words may ever become, so that changing numbers move nothing.
 */
export function placeSlots(lines, taken, area) {
  const slots = new Map(),
    boxes = [...taken];
  const length = (one) => Math.hypot(one.to.x - one.from.x, one.to.y - one.from.y);
  for (const [width, height, isSmall] of [...KINDS].reverse()) {
    for (const line of [...lines].sort((a, b) => length(a) - length(b))) {
      const own = slots.get(line.key);
      const others = boxes.filter((one) => one !== own);
      const found = bestSlot(line, width, height, others, lines, area, own);
      if (!found) continue;
      found.isSmall = isSmall;
      found.rows = height > 40 ? 2 : 1;
      slots.set(line.key, found);
      boxes.length = 0;
      boxes.push(...others, found);
    }
  }
  return slots;
}

function bestSlot(line, width, height, taken, lines, area, own) {
  let best = null;
  const [dx, dy] = [line.to.x - line.from.x, line.to.y - line.from.y],
    far = Math.hypot(dx, dy) || 1;
  for (const along of ALONG) {
    for (const aside of ASIDE) {
      const x = line.from.x + dx * along - (dy / far) * aside,
        y = line.from.y + dy * along + (dx / far) * aside;
      const box = around(x, y, width, height);
      if (!isInside(box, area) || taken.some((other) => hits(box, other))) continue;
      let cost = Math.abs(along - 0.5) * 40 + Math.abs(aside) / 4;
      for (const other of lines)
        if (other !== line && crosses(other.from, other.to, box)) cost += 12;
      if (!best || cost < best.cost) best = { ...box, x, y, cost };
    }
  }
  return best && (!own || best.cost < own.cost + 14) ? best : null;
}
