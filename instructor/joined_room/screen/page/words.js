// What the screen says about links and piers. Never a person's name: there are none in a view.

export const STREAM_STATES = {
  none: "No stream runs.",
  quiet: "No packet arrives.",
  flows: "Packets flow.",
  back: "Packets flow again.",
};
const NOTHING = "nothing is heard across it";
const ENDED = "its router has ended"; // as the room says it, see room_view.py
const LOSSY = 0.005; // a share that is worth a word

export const seconds = (value) => `${value.toFixed(1)} s`;
const two = (value) => String(Math.floor(value)).padStart(2, "0");

/** A time as it is read on a clock: "7:05", "1:07:05". */
export function clock(value_s) {
  const minutes = Math.floor(value_s / 60);
  const head = minutes < 60 ? minutes : `${Math.floor(minutes / 60)}:${two(minutes % 60)}`;
  return `${head}:${two(value_s % 60)}`;
}

export const percent = (share) =>
  share < 0.0995 ? `${(100 * share).toFixed(1)} %` : `${Math.round(100 * share)} %`;
export const nameOf = (link) => link.ends.join(" – ");
export const worstLoss = (link) => Math.max(...link.lost_share);
export const isLossy = (link) => link.state === "up" && worstLoss(link) >= LOSSY;

/**
 * Megabits in a second, as short as they can be read: "0.26", "1.7", "12". What routers say among
 * themselves is less than the least that is worth a number.
 */
export function mega(bits) {
  const value = bits / 1e6;
  if (value < 0.015) return "";
  return value < 0.995 ? value.toFixed(2) : value < 9.95 ? value.toFixed(1) : value.toFixed(0);
}

const WHY = {
  asleep: (pier) => `${pier} is asleep`,
  gone: (pier) => `${pier} has left`,
  awaited: (pier) => `${pier} is not here yet`,
};

/** Say why a link carries nothing, as far as that is known; '' if it carries. */
export function whyDown(link, members) {
  if (link.state === "up") return "";
  if (link.state === "pulled") return "pulled at this screen";
  const ends = link.ends.map((pier) => members.get(pier)).filter(Boolean);
  for (const state of ["gone", "asleep", "awaited"]) {
    const found = ends.find((one) => one.state === state);
    if (found) return WHY[state](found.pier);
  }
  const ended = ends.find((one) => one.faults.includes(ENDED));
  return ended ? `the router of ${ended.pier} has ended` : NOTHING;
}

/** True for a link that is down only because somebody has not come yet. */
export const isAwaited = (link, members) =>
  link.state === "down" && link.ends.some((pier) => members.get(pier)?.state === "awaited");

/** The words in a link's place on the map, the weightiest first. */
export function slotWords(link, isSmall) {
  if (link.state !== "up") return [link.state];
  const rate = mega(link.bits_per_s[0] + link.bits_per_s[1]);
  const lost = isLossy(link) ? [isSmall ? "lost" : `lost ${percent(worstLoss(link))}`] : [];
  return rate ? [...lost, rate] : lost;
}

/** A sentence on a link: what it carries each way, or why it does not. */
export function linkSentence(link, members) {
  if (link.state !== "up")
    return `${nameOf(link)}: ${link.state === "down" ? "down, " : ""}${whyDown(link, members)}.`;
  const ways = [1, 0].map(
    (end) =>
      `to ${link.ends[end]} ${mega(link.bits_per_s[1 - end]) || "0"} Mbit/s, ` +
      `${percent(link.lost_share[1 - end])} lost`,
  );
  return `${nameOf(link)}: ${ways.join("; ")}.`;
}

/** What is wrong in the room: a sign, and a sentence; faults first, and each cause once. */
export function troubles(view) {
  const found = [];
  const members = new Map(view.members.map((one) => [one.pier, one]));
  for (const one of view.members) {
    for (const fault of one.faults) found.push(["◆", `${one.pier}: ${fault}`]);
  }
  const down = view.links.filter((one) => one.state !== "up" && !isAwaited(one, members));
  for (const link of down.filter((one) => one.state === "pulled"))
    found.push(["✂", `${nameOf(link)}: ${whyDown(link, members)}`]);
  const byCause = new Map();
  for (const link of down.filter((one) => one.state === "down")) {
    const why = whyDown(link, members);
    byCause.set(why, [...(byCause.get(why) ?? []), link]);
  }
  for (const [why, links] of byCause) {
    if (links.length > 1 && why !== NOTHING)
      found.push(["×", `${why}: ${links.length} lines are down`]);
    else found.push(...links.map((one) => ["×", `${nameOf(one)}: ${why}`]));
  }
  const lossy = view.links.filter(isLossy).sort((a, b) => worstLoss(b) - worstLoss(a));
  for (const link of lossy) found.push(["%", `${nameOf(link)}: ${percent(worstLoss(link))} lost`]);
  return found;
}

/** What has happened between two views, in sentences for the one who does not see the map. */
export function news(before, now) {
  const said = [],
    members = new Map(now.members.map((one) => [one.pier, one]));
  const links = new Map(before.links.map((one) => [one.number, one]));
  const piers = new Map(before.members.map((one) => [one.pier, one]));
  for (const one of now.members) {
    const was = piers.get(one.pier);
    for (const fault of one.faults)
      if (!was?.faults.includes(fault)) said.push(`${one.pier}: ${fault}.`);
    if (was && was.state !== one.state) said.push(`${one.pier} is ${one.state}.`);
  }
  for (const link of now.links) {
    const was = links.get(link.number);
    if (!was || was.state === link.state) continue;
    said.push(
      link.state === "up"
        ? `${nameOf(link)} carries packets.`
        : link.state === "pulled"
          ? `${nameOf(link)} is pulled.`
          : `${nameOf(link)} is down: ${whyDown(link, members)}.`,
    );
  }
  const [old, stream] = [before.stream, now.stream];
  if (stream && old && stream.quiet_s !== null && old.quiet_s === null)
    said.push("No packet of the stream arrives.");
  if (stream && stream.back_after_s !== null && stream.back_after_s !== old?.back_after_s) {
    said.push(`Packets flow again after ${seconds(stream.back_after_s)}.`);
  }
  return said;
}
