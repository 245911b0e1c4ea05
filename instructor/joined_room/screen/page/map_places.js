// Where piers, names and the words of links stand on the map. All is worked out anew only when the
// plan of the room, a state or a fault is another one: numbers that change move nothing.

import { put } from "./drawing.js";
import { ENDS, LINE, RADIUS, around } from "./geometry.js";
import { cellsFor, settle } from "./lattice.js";
import { isCalm, placeNames, placeSlots, stretch } from "./places.js";

const MARGIN_TOP = 22;
const MARGIN_BELOW = 77;
const AT_FAULT = "at fault"; // for a long one: the list at the side has it all

/** `piers`, `names` and `slots` say where each pier, its words, and the words of each link are. */
export class MapPlaces {
  constructor(svg) {
    this.svg = svg;
    this.names = new Map();
    this.measure = document.createElement("canvas").getContext("2d");
  }

  /** Place all of a view; false if there is nothing to place yet. */
  layOut(view, lines) {
    const { width, height } = this.svg.getBoundingClientRect();
    const rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
    const [wide, high] = [(width / rem) * 24, (height / rem) * 24].map(Math.round);
    const plan = JSON.stringify([
      wide,
      high,
      view.members.map((one) => [one.pier, one.x, one.y, wordsBelow(one, view)]),
      lines.map((one) => [one.number, one.ends]),
    ]);
    if (plan === this.plan) return true;
    if (!wide || !view.members.length) return false;
    this.plan = plan;
    put(this.svg, { viewBox: `0 0 ${wide} ${high}` });
    const area = { left: 2, top: 2, right: wide - 2, bottom: high - 2 };
    this.names = this.settlePiers(view, lines, area);
    this.thin = lines.length > 70 ? 0.45 : lines.length > 30 ? 0.65 : 1;
    const segments = lines.map((one) => ({
      key: one.number,
      from: this.piers.get(one.ends[0]),
      to: this.piers.get(one.ends[1]),
    }));
    const sizes = new Map(
      view.members.map((one) => [one.pier, this.sizeOf(one, wordsBelow(one, view))]),
    );
    this.names = placeNames(
      this.piers,
      segments.map((one) => [one.from, one.to]),
      sizes,
      area,
      { before: this.names, isLattice: this.isLattice },
    );
    const bodies = [...this.piers.values()].map((one) => around(one.x, one.y, 2 * ENDS, 2 * ENDS));
    this.slots = placeSlots(
      segments,
      [...[...this.names.values()].flatMap((one) => one.parts), ...bodies],
      area,
    );
    return true;
  }

  /** Put the piers where the plan has them; where their names would not fit, into a lattice. */
  settlePiers(view, lines, area) {
    const ends = lines.map((one) => one.ends);
    const plan = view.members.map((one) => ({ key: one.pier, x: one.x, y: one.y }));
    const key = JSON.stringify([plan, ends, area]);
    if (key === this.settled) return this.names;
    this.settled = key;
    const sizes = new Map(view.members.map((one) => [one.pier, this.sizeOf(one, [])]));
    const widest = Math.max(...[...sizes.values()].map((one) => one.width));
    const inner = {
      left: area.left + widest / 2 + 2,
      right: area.right - widest / 2 - 2,
      top: area.top + MARGIN_TOP,
      bottom: area.bottom - MARGIN_BELOW,
    };
    const points = stretch(plan, inner);
    this.piers = new Map(points.map((one) => [one.key, one]));
    this.isLattice = false;
    const names = placeNames(
      this.piers,
      ends.map((both) => both.map((pier) => this.piers.get(pier))),
      sizes,
      area,
    );
    if (isCalm(names)) return names;
    this.isLattice = true;
    this.piers = settle(
      points,
      ends,
      cellsFor(points.length, inner, widest + 5, 2 * RADIUS + LINE + 5),
    );
    return new Map();
  }

  sizeOf(one, below) {
    const { fontFamily } = getComputedStyle(this.svg);
    this.measure.font = `650 24px ${fontFamily}`;
    const name = this.measure.measureText(one.pier).width;
    this.measure.font = `24px ${fontFamily}`;
    const rows = [name, ...below.map((each) => this.measure.measureText(each).width)].map(
      (width) => width + 4,
    );
    return { width: Math.max(...rows), height: LINE * rows.length, rows };
  }
}

/** The words under a pier's name: its state if it is away, and its faults, unless they are long. */
export function wordsBelow(one, view) {
  const longest = view.members.length > 30 ? 12 : 25; // letters; the list at the side says it all
  const away = one.state === "asleep" || one.state === "gone" ? [one.state] : [];
  const faults = one.faults.map((fault) => (fault.length > longest ? AT_FAULT : fault));
  return [...new Set([...away, ...faults])].slice(0, 2);
}
