// The map: its piers, the links between them, and the way of a stream or of one packet.

import { keep, make, put, write } from "./drawing.js";
import { ENDS, LINE, RADIUS } from "./geometry.js";
import { MapLinks } from "./map_links.js";
import { MapPlaces, wordsBelow } from "./map_places.js";

export class RoomMap {
  /** `wish` is told what to pull or mend, `choose` which pier was clicked, `tell` what to say. */
  constructor(svg, { wish, choose, tell }) {
    this.choose = choose;
    const groups = Array.from({ length: 6 }, () => make(svg, "g"));
    const [lines, ways, leaders, slots, piers, over] = groups; // what comes later lies above
    Object.assign(this, { ways, leaders, piers, over });
    this.links = new MapLinks(lines, slots, { wish, tell });
    this.places = new MapPlaces(svg);
    this.nodes = new Map();
    this.steps = new Map();
    svg.addEventListener("keydown", (event) => this.links.walk(event));
  }

  /** True while a link is described. */
  get isPointed() {
    return this.links.pointed !== null;
  }

  /** Draw a view; `marked` has a path, its two ends, and the pier at which a packet is. */
  show(view, marked) {
    const members = new Map(view.members.map((one) => [one.pier, one]));
    const links = view.links.filter((one) => one.ends.every((pier) => members.has(pier)));
    if (!this.places.layOut(view, links)) return;
    this.links.show(links, members, this.places);
    keep(this.nodes, members.keys(), (pier) => this.makePier(pier));
    for (const one of view.members) this.drawPier(one, wordsBelow(one, view), marked);
    this.drawWay(links, marked);
  }

  makePier(pier) {
    const root = make(this.piers, "g"),
      leader = make(this.leaders, "line", { class: "leader" });
    const parts = { root, leader, body: make(root, "circle", { class: "body" }) };
    parts.half = make(root, "path", {
      class: "half",
      d: `M0 ${-RADIUS}a${RADIUS} ${RADIUS} 0 0 0 0 ${2 * RADIUS}z`,
    });
    parts.cross = make(root, "path", { class: "cross", d: "M-7 -7L7 7M7 -7L-7 7" });
    parts.mark = make(root, "text", { class: "mark", y: 9 });
    parts.words = Array.from({ length: 3 }, (_, row) =>
      make(root, "text", { class: row ? "what" : "name" }),
    );
    root.remove = () => {
      leader.remove();
      Element.prototype.remove.call(root);
    };
    root.addEventListener("click", () => this.choose(pier));
    return parts;
  }

  drawPier(one, below, marked) {
    const parts = this.nodes.get(one.pier),
      at = this.places.piers.get(one.pier),
      box = this.places.names.get(one.pier);
    const letter = marked.ends.indexOf(one.pier),
      faulty = one.faults.length > 0;
    const chosen = letter >= 0;
    put(parts.root, {
      class: ["pier", one.state, faulty ? "faulty" : "", chosen && !faulty ? "chosen" : ""].join(
        " ",
      ),
      transform: `translate(${at.x.toFixed(1)} ${at.y.toFixed(1)})`,
    });
    put(parts.body, { r: chosen ? ENDS - 2 : faulty ? RADIUS + 3 : RADIUS - 2 });
    write(parts.mark, chosen ? "AB"[letter] : faulty ? "!" : "");
    const edge = { start: box.left + 2, middle: (box.left + box.right) / 2, end: box.right - 2 }[
      box.anchor
    ];
    [one.pier, ...below].forEach((words, row) => {
      write(parts.words[row], words);
      put(parts.words[row], {
        x: edge - at.x,
        y: box.top - at.y + 22 + row * LINE,
        "text-anchor": box.anchor,
        display: "inline",
      });
    });
    parts.words.slice(1 + below.length).forEach((each) => {
      write(each, "");
      put(each, { display: "none" });
    });
    put(
      parts.leader,
      box.leader
        ? { x1: at.x, y1: at.y, x2: box.end.x, y2: box.end.y, display: "inline" }
        : { display: "none" },
    );
  }

  // --- the way of a stream, or of one packet

  drawWay(links, { path, at, moves, isKept }) {
    // Where a line is down the way is torn as well: then the line itself is seen.
    const carries = (hop) =>
      links.every((link) => link.state === "up" || !hop.every((pier) => link.ends.includes(pier)));
    const hops = path
      .slice(1)
      .map((pier, n) => [path[n], pier])
      .filter((hop) => hop.every((pier) => this.places.piers.has(pier)) && carries(hop));
    keep(
      this.steps,
      hops.map((hop) => hop.join("\n")),
      () => this.makeHop(),
    );
    for (const hop of hops) {
      const parts = this.steps.get(hop.join("\n")),
        [from, to] = hop.map((pier) => this.places.piers.get(pier));
      const line = { x1: from.x, y1: from.y, x2: to.x, y2: to.y };
      put(parts.halo, line);
      put(parts.band, line);
      put(parts.dots, { ...line, display: moves ? "inline" : "none" });
      const [x, y] = [from.x + (to.x - from.x) * 0.8, from.y + (to.y - from.y) * 0.8];
      const turn = (Math.atan2(to.y - from.y, to.x - from.x) * 180) / Math.PI;
      put(parts.arrow, {
        d: "M-11 -12L13 0L-11 12z",
        transform: `translate(${x.toFixed(1)} ${y.toFixed(1)}) rotate(${turn.toFixed(1)})`,
      });
    }
    const place = at && this.places.piers.get(at);
    if (place && !this.token) {
      this.token = make(this.over, "g", { class: "token-at" });
      make(this.token, "circle", { class: "token-ring", r: 27 });
      make(this.token, "rect", { class: "token", x: -14, y: -11, width: 28, height: 22, rx: 4 });
    }
    if (this.token) {
      put(this.token, {
        class: isKept ? "token-at kept" : "token-at",
        display: place ? "inline" : "none",
      });
      if (place) this.token.style.transform = `translate(${place.x}px, ${place.y}px)`;
    }
  }

  makeHop() {
    const root = make(this.ways, "g");
    return {
      root,
      halo: make(root, "line", { class: "way-halo" }),
      band: make(root, "line", { class: "way" }),
      dots: make(root, "line", { class: "stream-dots" }),
      arrow: make(root, "path", { class: "arrow" }),
    };
  }
}
