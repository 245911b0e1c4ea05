// Places for many piers: a lattice in which each pier has room for its name below it. Rows are
// shifted by half a step, so that a second line of words finds room between two piers as well.

import { RADIUS, distanceTo } from "./geometry.js";

const ROUNDS = 10,
  PULL = 0.5;
const TOO_NEAR = RADIUS + 10,
  OVER_A_PIER = 40_000; // in squares of pixels, as the way from the plan

/** Return the cells of a lattice for `count` piers: the one that leaves names most room. */
export function cellsFor(count, area, width, height) {
  let best = { room: 0 };
  for (let columns = 2; columns <= count; columns++) {
    for (let rows = 2; rows <= count; rows++) {
      const dx = (area.right - area.left) / (columns - 1),
        dy = (area.bottom - area.top) / (rows - 1);
      const room = Math.min(dx / width, dy / height),
        cells = columns * rows - Math.floor(rows / 2);
      if (cells >= count && room > best.room) best = { room, columns, rows, dx, dy };
    }
  }
  const cells = [];
  for (let row = 0; row < best.rows; row++) {
    const shift = row % 2;
    for (let column = 0; column < best.columns - shift; column++) {
      cells.push({ x: area.left + best.dx * (column + shift / 2), y: area.top + best.dy * row });
    }
  }
  return cells;
}

/**
 * Give each point of the plan a cell: near its place in the plan, with short lines, and few of
 * them over other piers.
 * It begins with the nearest free cell, then exchanges as long as that makes something better.
 */
export function settle(points, links, cells) {
  const at = new Map(),
    taken = new Map(),
    neighbours = new Map(points.map((one) => [one.key, []]));
  for (const [one, other] of links) {
    neighbours.get(one).push(other);
    neighbours.get(other).push(one);
  }
  for (const one of points) {
    const free = cells
      .filter((cell) => !taken.has(cell))
      .sort((a, b) => square(one, a) - square(one, b));
    at.set(one.key, free[0]);
    taken.set(free[0], one);
  }
  const linesOver = (cell, except) =>
    links.filter(
      ([a, b]) => a !== except && b !== except && distanceTo(cell, at.get(a), at.get(b)) < TOO_NEAR,
    ).length;
  const piersUnder = (key) =>
    neighbours
      .get(key)
      .reduce(
        (sum, other) =>
          sum +
          points.filter(
            (one) =>
              one.key !== key &&
              one.key !== other &&
              distanceTo(at.get(one.key), at.get(key), at.get(other)) < TOO_NEAR,
          ).length,
        0,
      );
  const pull = (key) =>
    neighbours.get(key).reduce((sum, other) => sum + square(at.get(key), at.get(other)), 0);
  const cost = (some) =>
    some.reduce(
      (sum, one) =>
        sum +
        square(one, at.get(one.key)) +
        PULL * pull(one.key) +
        OVER_A_PIER * (linesOver(at.get(one.key), one.key) + piersUnder(one.key)),
      0,
    );
  const put = (one, cell) => {
    at.set(one.key, cell);
  };
  for (let round = 0, better = true; better && round < ROUNDS; round++) {
    better = false;
    for (const one of points) {
      for (const cell of cells) {
        const [from, other] = [at.get(one.key), taken.get(cell)];
        if (cell === from || square(one, cell) > 9 * Math.max(square(one, from), 10_000)) continue;
        const both = other ? [one, other] : [one],
          before = cost(both);
        put(one, cell);
        if (other) put(other, from);
        if (cost(both) < before - 1) {
          taken.set(cell, one);
          if (other) taken.set(from, other);
          else taken.delete(from);
          better = true;
        } else {
          put(one, from);
          if (other) put(other, cell);
        }
      }
    }
  }
  return new Map(points.map((one) => [one.key, { key: one.key, ...at.get(one.key) }]));
}

const square = (a, b) => (a.x - b.x) ** 2 + (a.y - b.y) ** 2;
