// The links on the map: what flows each way, where one is torn, and what pulls it.

import { keep, make, put, write } from "./drawing.js";
import { isAwaited, isLossy, linkSentence, nameOf, slotWords } from "./words.js";

const ROW = 29; // pixels, of words
const LETTER = 13.5;
const LOSES = 0.005; // the share from which on a lane is drawn as one that loses
const lane = (bits) => (bits < 5000 ? 1.5 : Math.min(2 + 10 * Math.sqrt(bits / 2e6), 16));

export class MapLinks {
  /** `lines`, `slots`: groups to draw into. `wish` is told what to pull, `tell` what to say. */
  constructor(lines, slots, { wish, tell }) {
    Object.assign(this, { lines, slots, wish, tell });
    this.drawn = new Map();
    this.at = null; // the number of the link that the Tab key comes to
    this.pointed = null; // and of the one that is described
  }

  /** Draw links at their places; `members` are by pier. */
  show(links, members, places) {
    Object.assign(this, { members, places });
    this.links = new Map(links.map((one) => [one.number, one]));
    if (!this.links.has(this.at)) this.at = links[0]?.number ?? null;
    keep(this.drawn, this.links.keys(), (number) => this.makeLink(number));
    for (const link of links) this.drawLink(link);
    if (this.links.has(this.pointed)) this.describe(this.pointed);
  }

  makeLink(number) {
    const root = make(this.lines, "g");
    const touch = { root };
    touch.ring = make(root, "line", { class: "ring" });
    touch.lanes = [make(root, "line", { class: "lane" }), make(root, "line", { class: "lane" })];
    touch.torn = make(root, "path", { class: "torn" });
    touch.hit = make(root, "line", { class: "touch", role: "button" });
    touch.slot = make(this.slots, "g");
    touch.paper = make(touch.slot, "rect");
    touch.words = [make(touch.slot, "text"), make(touch.slot, "text")];
    root.remove = () => {
      touch.slot.remove();
      Element.prototype.remove.call(root);
    };
    touch.hit.addEventListener("click", () => this.press(number));
    touch.hit.addEventListener("focus", () => {
      this.at = number;
      this.describe(number);
      this.drawTabs();
    });
    root.addEventListener("pointerenter", () => this.describe(number));
    touch.hit.addEventListener("blur", () => this.leave());
    root.addEventListener("pointerleave", () => this.leave());
    return touch;
  }

  drawLink(link) {
    const touch = this.drawn.get(link.number);
    const [from, to] = link.ends.map((pier) => this.places.piers.get(pier));
    const isAwaitedYet = isAwaited(link, this.members);
    const isWhole = link.state === "up" || isAwaitedYet;
    const ends = { x1: from.x, y1: from.y, x2: to.x, y2: to.y };
    const verb = link.state === "pulled" ? "Mend" : "Pull";
    const isDown = link.state === "down" ? ", which is down" : "";
    put(touch.root, { class: `link ${isAwaitedYet ? "awaited" : link.state}` });
    put(touch.hit, { ...ends, "aria-label": `${verb} the link ${nameOf(link)}${isDown}` });
    put(touch.hit, { tabindex: link.number === this.at ? 0 : -1 });
    put(touch.ring, ends);
    touch.lanes.forEach((one, way) => {
      const flows = link.state === "up" ? lane(link.bits_per_s[way]) * this.places.thin : 0;
      const width = Math.max(1.5, flows);
      const aside = beside(from, to, (width / 2 + 0.5) * (way ? -1 : 1));
      const loses = isLossy(link) && link.lost_share[way] >= LOSES;
      put(one, { x1: from.x + aside.x, y1: from.y + aside.y });
      put(one, { x2: to.x + aside.x, y2: to.y + aside.y, "stroke-width": width.toFixed(1) });
      put(one, { class: loses ? "lane loses" : "lane", display: isWhole ? "inline" : "none" });
    });
    const torn = link.state === "pulled" ? stump(from, to) + stump(to, from) : lineOf(from, to);
    put(touch.torn, { d: isWhole ? "M0 0" : torn, display: isWhole ? "none" : "inline" });
    this.drawSlot(link, touch, isAwaitedYet);
  }

  drawSlot(link, touch, isAwaitedYet) {
    const box = this.places.slots.get(link.number);
    const words = box && !isAwaitedYet ? slotWords(link, box.isSmall).slice(0, box.rows) : [];
    const bad = link.state !== "up" || isLossy(link);
    put(touch.slot, {
      class: bad ? "slot bad" : "slot",
      display: words.length ? "inline" : "none",
    });
    if (!words.length) return;
    const words_wide = Math.max(...words.map((one) => one.length)) * LETTER + 8;
    const width = Math.min(words_wide, box.right - box.left);
    const height = words.length * ROW + 1;
    put(touch.paper, { x: box.x - width / 2, y: box.y - height / 2, width, height, rx: 5 });
    touch.words.forEach((one, row) => {
      const y = box.y + 8.5 + (row - (words.length - 1) / 2) * ROW;
      write(one, words[row] ?? "");
      put(one, { x: box.x, y, display: words[row] ? "inline" : "none" });
    });
  }

  describe(number) {
    this.pointed = number;
    const link = this.links.get(number);
    const verb = link.state === "pulled" ? "mend" : "pull";
    this.tell(`${linkSentence(link, this.members)} Click or Enter: ${verb}.`);
  }

  leave() {
    this.pointed = null;
    this.tell("");
  }

  press(number) {
    const link = this.links.get(number);
    if (link) this.wish({ wish: link.state === "pulled" ? "mend" : "pull", link: number });
  }

  drawTabs() {
    for (const [number, touch] of this.drawn)
      put(touch.hit, { tabindex: number === this.at ? 0 : -1 });
  }

  /** Go from link to link by the keys of the map. */
  walk(event) {
    if (!event.target.classList.contains("touch")) return;
    const numbers = [...this.links.keys()];
    const place = numbers.indexOf(this.at);
    if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      this.press(this.at);
      return;
    }
    const steps = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 };
    const to = { Home: 0, End: -1 }[event.key] ?? place + steps[event.key];
    if (Number.isNaN(to)) return; // another key
    event.preventDefault();
    this.drawn.get(numbers.at(to % numbers.length)).hit.focus();
  }
}

const lineOf = (from, to) => `M${from.x} ${from.y}L${to.x} ${to.y}`;

/** How far from the line between two points its parallel at a distance is. */
function beside(from, to, by) {
  const far = Math.hypot(to.x - from.x, to.y - from.y) || 1;
  return { x: (-(to.y - from.y) / far) * by, y: ((to.x - from.x) / far) * by };
}

/** A piece of the line from one point on, with a bar where it is torn off. */
function stump(from, to) {
  const end = { x: from.x + (to.x - from.x) * 0.3, y: from.y + (to.y - from.y) * 0.3 };
  const bar = beside(from, to, 13);
  const bars = [1, -1].map((side) => ({ x: end.x + side * bar.x, y: end.y + side * bar.y }));
  return lineOf(from, end) + lineOf(...bars);
}
