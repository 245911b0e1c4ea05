// The screen at the front: takes views of the room as they come, shows them, and sends wishes back.

import { find, put, write } from "./drawing.js";
import { RoomMap } from "./room_map.js";
import { StoryCard } from "./story.js";
import { StreamCard } from "./stream.js";
import { clock, news, troubles } from "./words.js";

const AGAIN_MS = 1000;
const NO_ANSWER = "The room does not answer. The links between the machines go on without it.";
let view = null,
  socket = null,
  inStory = false,
  hasChosen = false;

const map = new RoomMap(find("map"), {
  wish,
  choose,
  tell: (words) => write(find("chosen"), words || hint()),
});
const stream = new StreamCard(),
  story = new StoryCard(() => view && map.show(view, marked()));

function connect() {
  socket = new WebSocket(
    `${location.protocol === "https:" ? "wss" : "ws"}://${location.host}/screen/updates`,
  );
  socket.addEventListener("message", (event) => {
    const told = JSON.parse(event.data);
    if (told.refused) say(`Not done: ${told.refused}.`);
    else show(told);
  });
  socket.addEventListener("open", () => {
    if (find("said").textContent === NO_ANSWER) say("");
  });
  socket.addEventListener("close", () => {
    say(NO_ANSWER);
    setTimeout(connect, AGAIN_MS);
  });
}

function wish(what) {
  if (socket?.readyState === WebSocket.OPEN) socket.send(JSON.stringify(what));
}

function show(now) {
  const said = view ? news(view, now) : [];
  view = now;
  write(find("room"), now.room);
  write(find("code"), now.code_hint);
  write(find("here"), presence(now.members));
  write(find("clock"), clock(now.at_s));
  offerPiers(now);
  stream.show(now.stream);
  story.show(now.story);
  map.show(now, marked());
  listTroubles(now);
  if (said.length)
    say(said.slice(0, 2).join(" ") + (said.length > 2 ? ` And ${said.length - 2} more.` : ""));
  if (!map.isPointed) write(find("chosen"), hint());
  document.documentElement.dataset.shown = now.at_s;
}

function marked() {
  if (inStory) return story.marked();
  const now = view.stream;
  if (!now) return { path: [], ends: [], at: null, moves: false, isKept: false };
  const ends = [now.source, now.destination];
  return { path: now.path, ends, at: null, moves: now.quiet_s === null, isKept: false };
}

const hint = () =>
  "Numbers on lines: Mbit/s, both ways together; thicker is more. Click a line to pull it.";
const say = (words) => write(find("said"), words);

function presence(members) {
  const count = (state) => members.filter((one) => one.state === state).length;
  return ["here", "asleep", "gone", "awaited"]
    .filter((state) => state === "here" || count(state))
    .map((state) => `${count(state)} ${state}`)
    .join(" · ");
}

function listTroubles(now) {
  const found = troubles(now),
    told = JSON.stringify(found),
    list = find("troubles");
  if (list.dataset.told === told) return;
  list.dataset.told = told;
  const fill = (rows) =>
    list.replaceChildren(
      ...rows.map(([sign, words]) => {
        const row = document.createElement("li");
        row.dataset.sign = sign;
        row.textContent = words;
        return row;
      }),
    );
  fill(found.length ? found : [["✓", "All lines carry packets."]]);
  const room = find("troubles-card").clientHeight;
  for (
    let shown = found.length - 1;
    shown > 0 &&
    room &&
    list.offsetTop + list.offsetHeight > find("troubles-card").offsetTop + room;
    shown--
  ) {
    fill([...found.slice(0, shown), ["", `and ${found.length - shown} more`]]);
  }
}

// --- what the instructor chooses

function offerPiers(now) {
  const piers = now.members
    .filter((one) => one.state !== "awaited")
    .map((one) => one.pier)
    .sort((a, b) => a.localeCompare(b, "en"));
  const running = hasChosen ? [] : [now.stream?.source, now.stream?.destination];
  const offered = JSON.stringify([piers, running]);
  for (const [n, id] of ["source", "destination"].entries()) {
    const select = find(id);
    if (select.dataset.offered === offered) continue;
    const wanted = [running[n], select.value, piers.at(n ? -1 : 0)]; // the first one that is there
    select.replaceChildren(...piers.map((pier) => new Option(pier)));
    select.value = wanted.find((one) => piers.includes(one)) ?? "";
    select.dataset.offered = offered;
  }
}

/** A click on a pier: it becomes the end, and the end until now the beginning. */
function choose(pier) {
  if (
    ![...find("destination").options].some((one) => one.value === pier) ||
    find("destination").value === pier
  )
    return;
  find("source").value = find("destination").value;
  find("destination").value = pier;
  hasChosen = true;
  say(`From ${find("source").value} to ${pier}.`);
}

function turnTo(toStory) {
  inStory = toStory;
  document.body.classList.toggle("in-story", toStory);
  for (const id of ["stream-card", "strip-card"]) find(id).hidden = toStory;
  for (const id of ["story-card", "octets-card"]) find(id).hidden = !toStory;
  put(find("show-stream"), { "aria-pressed": !toStory });
  put(find("show-story"), { "aria-pressed": toStory });
  write(find("go"), toStory ? "Follow a packet" : "Send a stream");
  find("end").hidden = toStory;
  if (!view) return;
  map.show(view, marked());
  delete find("troubles").dataset.told;
  listTroubles(view);
}

find("show-stream").addEventListener("click", () => turnTo(false));
find("show-story").addEventListener("click", () => turnTo(true));
for (const id of ["source", "destination"])
  find(id).addEventListener("change", () => {
    hasChosen = true;
  });
find("ends").addEventListener("submit", (event) => {
  event.preventDefault();
  hasChosen = true;
  wish({
    wish: inStory ? "follow" : "stream",
    source: find("source").value,
    destination: find("destination").value,
  });
});
find("end").addEventListener("click", () =>
  wish({ wish: "stream", source: null, destination: null }),
);

const prefersDark = matchMedia("(prefers-color-scheme: dark)");
function drawLight(isLight) {
  document.documentElement.dataset.light = isLight ? "on" : "off";
  write(find("light"), isLight ? "Dark" : "Light");
}
find("light").addEventListener("click", () =>
  drawLight(document.documentElement.dataset.light === "off"),
);
prefersDark.addEventListener("change", () => drawLight(!prefersDark.matches));
drawLight(!prefersDark.matches);
addEventListener("resize", () => view && map.show(view, marked()));
connect();
