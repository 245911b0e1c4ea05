// The life of a packet: its hops, what each router said, and the octets that it changed.

import { find, offer, put, write } from "./drawing.js";
import { changes, changesInWords, headersOf } from "./octets.js";

const HOP_MS = 1600;

export class StoryCard {
  /** `redraw` is called when another hop is looked at. */
  constructor(redraw) {
    this.redraw = redraw;
    this.at = 0;
    this.isPlaying = false;
    find("back").addEventListener("click", () => this.go(this.at - 1));
    find("next").addEventListener("click", () => this.go(this.at + 1));
    find("play").addEventListener("click", () => this.play(!this.isPlaying));
    find("steps").addEventListener("keydown", (event) => {
      const to = {
        ArrowDown: this.at + 1,
        ArrowRight: this.at + 1,
        ArrowUp: this.at - 1,
        ArrowLeft: this.at - 1,
        Home: 0,
        End: this.steps.length - 1,
      }[event.key];
      if (to === undefined) return;
      event.preventDefault();
      this.go(to);
    });
    setInterval(() => this.tick(), HOP_MS);
  }

  get steps() {
    return this.story?.steps ?? [];
  }

  show(story) {
    const told = JSON.stringify(story),
      isOther = story?.number !== this.story?.number;
    if (told === this.told) return;
    [this.story, this.told] = [story, told];
    if (isOther) {
      this.at = 0;
      this.isPlaying = Boolean(story);
    }
    this.at = Math.min(this.at, Math.max(this.steps.length - 1, 0)); // fewer steps may be known now
    this.draw();
  }

  play(isPlaying) {
    if (this.steps.length < 2) return;
    if (isPlaying && this.at >= this.steps.length - 1) this.at = 0;
    this.isPlaying = isPlaying;
    this.draw();
    this.redraw();
  }

  tick() {
    if (!this.isPlaying || find("story-card").hidden) return;
    if (this.at < this.steps.length - 1) this.move(this.at + 1);
    else if (this.isWhole()) {
      this.isPlaying = false;
      this.draw();
    }
  }

  /** True if no router can have more to say: then the play is over. */
  isWhole() {
    const last = this.steps.at(-1);
    return Boolean(last) && (isKept(last) || last.verdict.startsWith("delivered"));
  }

  go(to) {
    this.isPlaying = false;
    this.move(to);
  }

  move(to) {
    this.at = Math.min(Math.max(to, 0), Math.max(this.steps.length - 1, 0));
    this.draw();
    this.redraw();
  }

  /** What the map shall mark: the way so far, and where the packet is. */
  marked() {
    const piers = this.steps.map((one) => one.pier);
    const step = this.steps[this.at],
      path = piers.slice(0, this.at + 1);
    return {
      path,
      ends: piers.slice(0, 1),
      at: step?.pier ?? null,
      moves: false,
      isKept: Boolean(step) && isKept(step),
    };
  }

  draw() {
    const { steps, at } = this;
    write(find("packet"), this.story?.packet ?? "Choose two piers, and follow a packet.");
    write(find("play"), this.isPlaying ? "Pause" : "Play");
    offer(find("back"), at > 0);
    offer(find("next"), at < steps.length - 1);
    offer(find("play"), steps.length > 1);
    const list = find("steps");
    while (list.children.length > steps.length) list.lastChild.remove();
    while (list.children.length < steps.length) list.append(hopElement());
    steps.forEach((step, n) => {
      const [head, verdict] = list.children[n].children;
      write(head.firstChild, `${n + 1}. ${step.pier}`);
      write(head.lastChild, livesInWords(step));
      write(verdict, step.verdict);
      list.children[n].dataset.now = n === at ? "on" : n > at ? "later" : "past";
      list.children[n].dataset.kept = isKept(step) ? "on" : "off";
      if (n === at) put(list.children[n], { "aria-current": "step" });
      else list.children[n].removeAttribute("aria-current");
    });
    list.children[at]?.scrollIntoView({ block: "nearest" });
    this.drawOctets();
  }

  drawOctets() {
    const step = this.steps[this.at],
      box = find("octets");
    box.replaceChildren();
    if (!step?.octets_hex) {
      const none = step
        ? `Nobody knows its octets at ${step.pier}.`
        : "Here the octets of the packet are shown, hop by hop.";
      write(find("octets-head"), none);
      write(find("changes"), "");
      put(box, { "aria-label": none });
      return;
    }
    const now = headersOf(step.octets_hex),
      before = this.at ? headersOf(this.steps[this.at - 1].octets_hex) : null;
    const found = before ? changes(before, now) : [],
      changed = new Set(found.map((one) => one.field));
    for (const header of now.headers) {
      const part = box.appendChild(document.createElement("div"));
      part.className = "header-part";
      part.appendChild(document.createElement("span")).textContent = header.name;
      const row = part.appendChild(document.createElement("div"));
      for (const field of header.fields) {
        field.octets.forEach((octet, n) => {
          const cell = row.appendChild(document.createElement("span"));
          cell.className = `octet${n ? "" : " field"}${changed.has(field) ? " changed" : ""}`;
          cell.textContent = octet;
        });
      }
    }
    const when = isKept(step) ? "As it came to" : "As it leaves";
    const data = now.rest > 0 ? `; the last ${now.rest} are data, not shown` : "";
    write(find("octets-head"), `${when} ${step.pier}: ${now.total} octets${data}`);
    const sentence =
      changesInWords(found) || (this.at && now.total ? "No octet is another one than before." : "");
    write(find("changes"), sentence);
    put(box, { "aria-label": `${find("octets-head").textContent}. ${sentence}` });
  }
}

/** True where the packet goes no further: held, discarded, or nothing is heard of it. */
const isKept = (step) => !step.lives || step.lives[1] === null;

/** The time to live, as the packet came and as it left. */
function livesInWords({ lives }) {
  if (!lives) return "";
  return lives[1] === null ? `${lives[0]}` : `${lives[0]} → ${lives[1]}`;
}

function hopElement() {
  const hop = document.createElement("li"),
    head = hop.appendChild(document.createElement("b"));
  head.append(document.createElement("span"), document.createElement("span"));
  head.lastChild.className = "number";
  hop.append(document.createElement("p"));
  return hop;
}
