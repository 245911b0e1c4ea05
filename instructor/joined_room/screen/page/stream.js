// The card of a stream: how long nothing has come, how much came, by which way, and the strip.

import { find, make, offer, put, write } from "./drawing.js";
import { STREAM_STATES, seconds } from "./words.js";

const PACKETS = 150,
  WIDE = 12,
  NOTED_S = 0.25; // a shorter silence is only the time between packets

export class StreamCard {
  constructor() {
    this.strip = Object.fromEntries(
      ["played", "late", "lost"].map((name) => [
        name,
        make(find("strip"), "path", { class: name }),
      ]),
    );
    this.heard_ms = 0;
    setInterval(() => this.count(), 100);
  }

  show(stream) {
    this.stream = stream;
    this.heard_ms = performance.now();
    for (const name of ["sent", "received", "late", "lost"])
      write(find(name), (stream?.[name] ?? 0).toLocaleString("en"));
    write(
      find("path"),
      stream?.path.length ? stream.path.join(" → ") : stream ? "The way is not known." : "",
    );
    offer(find("end"), Boolean(stream));
    this.drawStrip(stream?.strip ?? []);
    this.count();
  }

  /** Between two views the time without a packet runs on here. */
  count() {
    const { stream } = this,
      isQuiet = stream && stream.quiet_s !== null && stream.quiet_s >= NOTED_S;
    const since_s = isQuiet ? stream.quiet_s + (performance.now() - this.heard_ms) / 1000 : null;
    const state = !stream
      ? "none"
      : isQuiet
        ? "quiet"
        : stream.back_after_s !== null
          ? "back"
          : "flows";
    const value = isQuiet ? since_s : state === "back" ? stream.back_after_s : 0;
    write(find("flow"), STREAM_STATES[state]);
    write(find("seconds"), stream ? seconds(value) : "–");
    find("seconds").dataset.flow = isQuiet ? "quiet" : stream ? "flows" : "none";
  }

  drawStrip(strip) {
    const marks = { played: "", late: "", lost: "" },
      first = PACKETS - strip.length;
    const counts = { played: 0, late: 0, lost: 0 };
    strip.slice(-PACKETS).forEach((what, n) => {
      const x = (Math.max(first, 0) + n) * WIDE;
      counts[what]++;
      marks[what] +=
        what === "played"
          ? `M${x + 2} 8h8v86h-8z`
          : what === "late"
            ? `M${x + 3} 56h6v36h-6z`
            : `M${x + 1} 70l10 22m0-22l-10 22`;
    });
    for (const [name, path] of Object.entries(this.strip)) put(path, { d: marks[name] || "M0 0" });
    const told = Object.entries(counts)
      .map(([name, count]) => `${count} ${name}`)
      .join(", ");
    put(find("strip"), { "aria-label": `Play-out of the last ${strip.length} packets: ${told}` });
  }
}
