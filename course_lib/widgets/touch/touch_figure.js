// The page's side of a figure that can be touched. Python describes it, see touch_figure.py:
// scenes, what in them may be touched, controls. Here they are shown, moved and listened to.
//
// The figure takes the place of its still picture in the cell's output, so that a saved workbook
// holds the picture and nothing that needs a kernel. No output is made for the widget itself.

const SVG = "http://www.w3.org/2000/svg";
const MOVE_MS = 350; // from one state to the next
const STEP_MS = 900; // how long a state stays while playing
const SPEEDS = { slow: 2, normal: 1, fast: 0.5 }; // by how much longer
const NUMBER = /-?\d+(?:\.\d+)?/g;
const NOT_FOR_NOTEBOOK = "data-lm-suppress-shortcuts"; // JupyterLab looks for it on what is focused
const OF_SLIDERS = ["transform", "aria-valuemin", "aria-valuemax", "aria-valuenow", "aria-valuetext"];
const OF_HANDLES = ["tabindex", "role", "aria-label", "aria-pressed", ...OF_SLIDERS];
const TOLD_AFTER = 20; // pictures that nobody asked for: so often Python hears that they are seen
const LEAST_WORDS = 11 / 12.5; // the smallest words of a scene have 12.5 pixels, on a page 11

export default {
  initialize({ model }) {
    const place = `[data-hop-figure="${model.get("place")}"]`;
    const shown = new Map();
    const pictures = new Pictures(model);
    const take = (root) => {
      for (const element of [root, ...root.querySelectorAll(place)]) {
        if (!element.matches?.(place) || shown.has(element)) continue;
        shown.set(element, mount(model, pictures, element));
      }
    };
    // Only what has come is looked at: a notebook is large, and changes with every move.
    const watch = new MutationObserver((changes) => {
      for (const [element, leave] of shown) {
        if (!element.isConnected && !element.closest(".jp-Cell")) shown.delete(element), leave();
      }
      for (const { addedNodes } of changes) {
        for (const node of addedNodes) if (node.firstElementChild !== undefined) take(node);
      }
    });
    watch.observe(document.body, { childList: true, subtree: true });
    take(document);
    hearPython(model);
    return () => {
      watch.disconnect();
      pictures.end();
      for (const leave of shown.values()) leave();
    };
  },
};

// Where a page is so slow that a figure begins more than two seconds late, anywidget passes on
// nothing of what Python says to it, ever, though the figure is there. Then it is heard without.
async function hearPython(model) {
  const whole = await model.widget_manager?.get_model(model.get("place"));
  if (!whole) return; // no JupyterLab, and nobody in between
  try {
    await whole._handle_comm_msg({ content: { data: {} } }); // asks for nothing, and waits as all do
  } catch {
    const plain = Object.getPrototypeOf(whole.constructor.prototype);
    whole.comm.on_msg((message) => plain._handle_comm_msg.call(whole, message));
    model.send({ whole: true }); // what Python has said until now is lost
  }
}

// What Python shows now, whole. What comes is what is new since the picture before; if that one is
// not here, as after a connection that was lost, the whole is asked for.
class Pictures {
  constructor(model) {
    this.model = model;
    this.latest = null;
    this.isAsked = false;
    this.shows = new Set();
    this.take = this.take.bind(this);
    model.on("change:view", this.take);
    this.take();
  }

  take() {
    const news = JSON.parse(this.model.get("view"));
    if (news.base !== null && news.base !== this.latest?.number) {
      if (!this.isAsked) this.model.send({ whole: true });
      this.isAsked = true;
      return;
    }
    if (news.base === null) this.isAsked = false;
    const before = news.base === null ? undefined : this.latest;
    this.latest = {
      ...news, style: news.style ?? before.style,
      controls: news.controls ?? before.controls, steps: wholeSteps(news.steps, before?.steps.at(-1)),
    };
    for (const show of this.shows) show();
  }

  end() {
    this.model.off("change:view", this.take);
  }
}

function mount(model, pictures, element) {
  const figure = new TouchFigure(model);
  element.replaceChildren(figure.root);
  window.addEventListener("keydown", keepKeys, true); // before the notebook hears of it
  const show = () => {
    const view = pictures.latest;
    if (!view) return; // it is on its way
    figure.show(view);
    const isNew = view.unasked > figure.seen + TOLD_AFTER || (view.unasked && !figure.seen);
    if (isNew) model.send({ seen: (figure.seen = view.unasked) });
  };
  const rest = () => figure.requests.look();
  pictures.shows.add(show);
  model.on("change:done", rest);
  show();
  return () => {
    pictures.shows.delete(show);
    model.off("change:done", rest);
    if (figure.seen) model.send({ left: true }); // somebody in Python may go on for this figure
    figure.player.pause();
  };
}

// Keys pressed in a figure are none of the notebook's business, but for such as Ctrl+S.
function keepKeys({ target, ctrlKey, metaKey, altKey, key }) {
  if (!target.closest?.(".hop-touch")) return;
  const ours = !(ctrlKey || metaKey || altKey) || key === "Enter";
  target.toggleAttribute(NOT_FOR_NOTEBOOK, ours);
}

class TouchFigure {
  constructor(model) {
    this.root = make("div", { class: "hop-touch" });
    this.requests = new Requests(
      model,
      (words) => write(this.alert, words),
      (isBusy) => set(this.root, { "aria-busy": isBusy }),
    );
    this.controls = make("div", { class: "hop-controls" });
    this.status = make("div", { class: "hop-status", role: "status" });
    this.alert = make("div", { class: "hop-alert", role: "alert" });
    this.svg = make("svg", { class: "hop-figure", role: "group" }, SVG);
    this.svg.append(make("style", {}, SVG));
    this.stage = make("div", { class: "hop-stage" });
    this.sheet = make("div", { class: "hop-sheet" });
    this.stage.append(this.sheet);
    this.sheet.append(this.svg);
    this.tallest = 0; // the height of the tallest scene so far
    this.twin = make("pre", {});
    this.spoken = make("p", {});
    const folded = make("details", {});
    folded.append(make("summary", {}, null, "The same as text"), this.spoken, this.twin);
    this.player = new Player((step) => this.go(step), (step) => this.steps[step]?.title);
    this.root.append(
      this.controls, this.status, this.alert, this.stage, this.player.root, folded,
    );
    this.alert.id = `hop-alert-${model.get("place")}`;
    this.seen = 0; // how many pictures came that nobody had asked for
    this.parts = new Map(); // the element of each part, by its key
    this.steps = [];
    this.made = new Map(); // the element of each control, by its action
    this.svg.addEventListener("keydown", (event) => this.key(event));
    this.svg.addEventListener("pointerdown", (event) => this.drag(event));
    this.svg.addEventListener("click", (event) => this.press(event));
    this.svg.addEventListener("animationend", ({ target }) => target.classList.remove("hop-flip"));
  }

  show(view) {
    this.requests.answered(view.answer);
    const focused = this.root.contains(document.activeElement);
    this.steps = view.steps;
    write(this.alert, view.problem);
    if (this.words !== view.words.join("\n")) {
      this.words = view.words.join("\n");
      const title = `${view.steps.at(-1).title}.`; // is read out, and seen in the picture itself
      this.status.replaceChildren(
        ...view.words.map((line) =>
          make("div", line === title ? { class: "hop-unseen" } : {}, null, line),
        ),
      );
    }
    this.showControls(view.controls);
    const style = this.svg.querySelector("style"); // a new one costs the whole page's styles
    write(style, view.style);
    this.player.has(this.steps.length);
    if (view.plays && this.steps.length > 1 && !calm()) this.player.play(); // from the first one on
    else this.draw(this.steps.at(-1), view.moves);
    if (focused) this.keepFocus();
  }

  // What had the focus may be gone. Then the next key must not go to the notebook.
  keepFocus() {
    const here = document.activeElement;
    // Asked whether it can be seen, the page would lay everything out, and soon after once more.
    const isThere = this.root.contains(here) &&
      (this.player.isShown || !this.player.root.contains(here));
    if (isThere && !here.matches("svg > :not([tabindex])")) return;
    if (this.steps.length > 1) this.player.playing.focus();
    else this.root.querySelector("button, input, select, [tabindex='0']")?.focus();
  }

  // Controls that stay are left in their place: taken out and put in again, they lose the focus.
  showControls(controls) {
    const known = this.made;
    this.made = new Map(
      controls.map((control) => [
        control.action, known.get(control.action) ?? makeControl(control, this.requests, this.alert.id),
      ]),
    );
    for (const [action, { root }] of known) if (!this.made.has(action)) root.remove();
    let next = this.controls.firstElementChild;
    for (const control of controls) {
      const { root, show } = this.made.get(control.action);
      if (root === next) next = next.nextElementSibling;
      else this.controls.insertBefore(root, next);
      show(control);
    }
  }

  go(step) {
    this.draw(this.steps[step], true);
  }

  draw(scene, moves) {
    if (!scene) return;
    this.scene = scene;
    write(this.twin, scene.text);
    write(this.spoken, scene.spoken);
    const [width, height] = scene.size;
    // A view box of another height would have all words laid out anew: what is below is cut off.
    this.tallest = Math.max(this.tallest, height);
    set(this.svg, { viewBox: `0 0 ${width} ${this.tallest}`, "aria-label": scene.title });
    const least = Math.ceil(width * LEAST_WORDS);
    set(this.sheet, {
      style: `aspect-ratio:${width}/${height};max-width:${width}px;min-width:${least}px`,
    });
    this.join(scene, moves && !calm());
    this.name(scene);
  }

  // Make the parts on the page those of the scene: move what stays, bring what comes, fade what goes.
  join(scene, moves) {
    const midway = this.stopMoving?.(); // what is still on its way goes on from where it is
    this.svg.classList.toggle("hop-moves", moves); // where it does not, words don't flip either
    const changes = [];
    for (const [key, element] of this.parts) {
      if (!scene.parts.has(key)) this.parts.delete(key), leave(element, moves);
    }
    const fresh = parsed([...scene.parts].filter(([key, markup]) => {
      const element = this.parts.get(key);
      return !element || midway || element.markup !== markup;
    }));
    let before = this.svg.querySelector(":scope > style");
    for (const [key, markup] of scene.parts) {
      let element = this.parts.get(key);
      if (!element) {
        element = fresh.get(key);
        this.parts.set(key, element);
        if (moves) element.classList.add("hop-come");
        element.addEventListener("animationend", () => element.classList.remove("hop-come"));
        before.after(element);
      } else {
        if (fresh.has(key)) compare(element, fresh.get(key), changes);
        const next = skipLeaving(before.nextElementSibling);
        if (next !== element && !element.contains(document.activeElement)) before.after(element);
      }
      element.markup = markup;
      before = element;
    }
    this.stopMoving = move(changes, moves ? MOVE_MS : 0);
  }

  // Give names and roles to what may be touched. Of all parts with one action, Tab reaches one.
  name(scene) {
    const active = document.activeElement;
    const own = active.parentNode === this.svg && scene.touches.get(active.touch?.key);
    const reached = new Set(own ? [own.action] : []);
    for (const element of this.svg.querySelectorAll(":scope > .hop-handle")) {
      if (scene.touches.has(element.touch.key)) continue;
      element.touch = null;
      element.classList.remove("hop-handle");
      for (const name of OF_HANDLES) element.removeAttribute(name);
    }
    for (const touch of scene.touches.values()) {
      const element = this.parts.get(touch.key);
      const first = !reached.has(touch.action) || element === active;
      reached.add(touch.action);
      set(element, { tabindex: first ? 0 : -1 });
      if (element.touch !== touch) describe(element, touch);
      if (touch.kind !== "slide") continue;
      const ahead = this.requests.newest(touch.action); // the hand is further than the answer
      if (ahead !== undefined) shift(element, touch, ahead);
      else element.removeAttribute("transform");
    }
  }

  touched(event) {
    return event.target.closest?.(".hop-handle")?.touch;
  }

  press(event) {
    const touch = this.touched(event);
    if (touch?.kind === "press") this.requests.press(touch.action, touch.value);
  }

  drag(event) {
    const touch = this.touched(event);
    if (touch?.kind !== "slide" || event.button !== 0) return;
    const element = this.parts.get(touch.key);
    const start = this.place(event);
    element.focus();
    element.setPointerCapture(event.pointerId);
    event.preventDefault();
    const follow = (moved) => {
      this.slide(element, element.touch, numberAt(touch, placeOf(touch) + this.place(moved) - start));
    };
    const end = () => element.removeEventListener("pointermove", follow);
    element.addEventListener("pointermove", follow);
    element.addEventListener("lostpointercapture", end, { once: true });
  }

  // The handle goes at once; what it means comes when Python has answered.
  slide(element, touch, to) {
    const number = Math.min(touch.high, Math.max(touch.low, to));
    if (number === (this.requests.newest(touch.action) ?? touch.now)) return;
    shift(element, touch, number);
    this.requests.ask(touch.action, number);
  }

  key(event) {
    const touch = this.touched(event);
    if (!touch || event.ctrlKey || event.metaKey || event.altKey) return;
    const element = this.parts.get(touch.key);
    if (touch.kind === "slide") {
      const now = this.requests.newest(touch.action) ?? touch.now;
      const to = slideKeys(event, touch, now);
      if (to === undefined) return;
      this.slide(element, touch, to);
    } else if (event.key === "Enter" || event.key === " ") {
      this.requests.press(touch.action, touch.value);
    } else {
      const next = nearest(this.svg, element, event.key);
      if (!next) return;
      element.setAttribute("tabindex", -1);
      next.setAttribute("tabindex", 0);
      next.focus();
    }
    event.preventDefault();
  }

  place(event) {
    const point = new DOMPoint(event.clientX, event.clientY);
    return point.matrixTransform(this.svg.getScreenCTM().inverse()).x;
  }
}

// Put in again what was left out because it is as in the step before; `before` is the first one's.
function wholeSteps(steps, before = { parts: new Map(), touches: new Map() }) {
  return steps.map((step) => {
    const [parts, touches] = [renewed(before.parts, step.parts), renewed(before.touches, step.touches)];
    return (before = { ...step, parts, touches });
  });
}

// Return things by their keys, in order: those that are new, and the others as they were.
function renewed(before, news) {
  if (!news.order && !news.new.length) return before;
  const fresh = new Map(news.new);
  const keys = news.order ?? [...before.keys()];
  return new Map(keys.map((key) => [key, fresh.get(key) ?? before.get(key)]));
}

// Questions to Python: one at a time. Of those that wait for one action only the newest is asked,
// but every press is: pressing two things leads to both.
class Requests {
  constructor(model, tell, tellBusy) {
    this.model = model;
    this.tell = tell;
    this.tellBusy = tellBusy;
    this.number = 0;
    this.open = null;
    this.waiting = [];
  }

  ask(action, value) {
    this.waiting = this.waiting.filter((one) => one.isPress || one.action !== action);
    this.waiting.push({ action, value, isPress: false });
    if (!this.open) this.send();
  }

  // Say whether anything is still to come: an answer, or more of it.
  look() {
    const isDone = !this.number || this.model.get("done") === this.number;
    this.tellBusy(this.open !== null || this.waiting.length > 0 || !isDone);
  }

  press(action, value) {
    this.waiting.push({ action, value, isPress: true });
    if (!this.open) this.send();
  }

  newest(action) {
    return [this.open, ...this.waiting].findLast((one) => one?.action === action)?.value;
  }

  send() {
    this.open = this.waiting.shift();
    this.number += 1;
    const { action, value } = this.open;
    this.look();
    this.model.send({ action, value, number: this.number });
    clearTimeout(this.late);
    this.late = setTimeout(
      () => this.tell("No answer yet: Python is busy, or has ended. Then run the cell again."), 8000,
    );
  }

  answered(number) {
    if (!this.open || number !== this.number) return;
    clearTimeout(this.late);
    this.open = null;
    if (this.waiting.length) this.send();
    this.look();
  }
}

// Back, play, forward, and a slider over all states: in the same place in every figure.
class Player {
  constructor(go, titleOf) {
    this.go = go;
    this.titleOf = titleOf;
    this.root = make("div", { class: "hop-player", hidden: "" });
    this.back = make("button", { type: "button", title: "One step back" }, null, "◀");
    this.playing = make("button", { type: "button", title: "Play" }, null, "▶ Play");
    this.forth = make("button", { type: "button", title: "One step on" }, null, "▶");
    this.slider = make("input", { type: "range", min: 1, "aria-label": "Step" });
    this.where = make("span", {});
    this.speed = make("select", { "aria-label": "Speed" });
    this.speed.append(...Object.keys(SPEEDS).map((name) => make("option", {}, null, name)));
    this.speed.value = "normal";
    set(this.back, { "aria-label": "One step back" });
    set(this.forth, { "aria-label": "One step on" });
    this.root.append(this.back, this.playing, this.forth, this.slider, this.where, this.speed);
    this.back.addEventListener("click", () => this.take(this.now - 1));
    this.forth.addEventListener("click", () => this.take(this.now + 1));
    this.slider.addEventListener("input", () => this.take(this.slider.valueAsNumber - 1));
    this.playing.addEventListener("click", () => (this.timer ? this.pause() : this.play()));
  }

  has(count) {
    this.pause();
    this.count = count;
    this.now = count - 1;
    if (count > 1) this.root.hidden = false; // and from then on it keeps its room
    this.root.style.visibility = count < 2 ? "hidden" : "";
    this.slider.max = count;
    this.say();
  }

  get isShown() {
    return this.count > 1;
  }

  take(step) {
    this.pause();
    this.to(step);
  }

  to(step) {
    this.now = Math.min(this.count - 1, Math.max(0, step));
    this.say();
    this.go(this.now);
  }

  play() {
    this.to(this.now < this.count - 1 ? this.now : 0);
    this.wait();
    write(this.playing, "❙❙ Pause");
  }

  wait() {
    this.timer = setTimeout(() => {
      this.to(this.now + 1);
      if (this.now === this.count - 1) this.pause();
      else this.wait();
    }, STEP_MS * SPEEDS[this.speed.value]);
  }

  pause() {
    clearTimeout(this.timer);
    this.timer = null;
    write(this.playing, "▶ Play");
  }

  say() {
    this.slider.value = this.now + 1;
    write(this.where, `step ${this.now + 1} of ${this.count}`);
    set(this.slider, { "aria-valuetext": `${this.where.textContent}: ${this.titleOf(this.now)}` });
  }
}

function makeControl(control, requests, alert) {
  const root = make("label", {});
  if (control.kind === "button") {
    const button = make("button", { type: "button" });
    button.addEventListener("click", () => requests.press(control.action, null));
    return { root: button, show: ({ name }) => write(button, name) };
  }
  const words = make("span", { "aria-hidden": "true" });
  const field = make(control.kind === "choice" ? "select" : "input", {});
  root.append(words, field);
  let asked = null;
  let isTyped = false; // then an answer to an earlier question leaves the field alone
  const ask = () => { // Enter is heard as a key and as a change: it is one question
    isTyped = false;
    if (field.value === asked) return;
    asked = field.value;
    requests.ask(control.action, asked);
  };
  field.addEventListener("input", () => ([asked, isTyped] = [null, true]));
  field.addEventListener("change", ask);
  field.addEventListener("keydown", ({ key }) => key === "Enter" && ask());
  if (control.kind === "written") set(field, { spellcheck: "false" });
  return {
    root,
    show: ({ name, now, options, letters, is_refused = false }) => {
      write(words, name);
      set(field, { "aria-label": name, "aria-invalid": is_refused });
      if (letters) set(field, { size: letters });
      if (is_refused) set(field, { "aria-describedby": alert });
      else field.removeAttribute("aria-describedby");
      if (options && options.join() !== field.options_) {
        field.options_ = options.join();
        field.replaceChildren(...options.map((one) => make("option", { value: one }, null, one)));
      }
      if (!isTyped && requests.newest(control.action) === undefined && field.value !== now) {
        field.value = now;
      }
    },
  };
}

// Say of an element what it is to be touched, and no longer what it was.
function describe(element, touch) {
  element.touch = touch;
  element.classList.add("hop-handle");
  const isSlider = touch.kind === "slide";
  for (const name of isSlider ? ["aria-pressed"] : OF_SLIDERS) element.removeAttribute(name);
  set(element, { role: isSlider ? "slider" : "button", "aria-label": touch.name });
  if (isSlider) {
    set(element, {
      "aria-valuemin": touch.low, "aria-valuemax": touch.high,
      "aria-valuenow": touch.now, "aria-valuetext": touch.words,
    });
  } else if (touch.is_on === null) element.removeAttribute("aria-pressed");
  else set(element, { "aria-pressed": touch.is_on });
}

function numberAt(touch, x) {
  const share = (x - touch.left) / (touch.right - touch.left);
  return Math.round(touch.low + share * (touch.high - touch.low));
}

function shift(element, touch, number) {
  const far = placeOf({ ...touch, now: number }) - placeOf(touch);
  element.setAttribute("transform", `translate(${far} 0)`);
}

function placeOf({ left, right, low, high, now }) {
  return left + ((now - low) / Math.max(1, high - low)) * (right - left);
}

// The keys of a slider, as WAI-ARIA has them.
function slideKeys({ key, shiftKey }, { low, high }, now) {
  const leap = Math.max(1, Math.round((high - low) / 16));
  const one = shiftKey ? leap : 1;
  return {
    ArrowLeft: now - one, ArrowDown: now - one, ArrowRight: now + one, ArrowUp: now + one,
    PageDown: now - leap, PageUp: now + leap, Home: low, End: high,
  }[key];
}

// Arrow keys lead to the nearest part with the same action that lies in their direction.
function nearest(svg, from, key) {
  const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[key];
  if (!way) return null;
  const here = middle(from);
  let best = null;
  let least = Infinity;
  for (const element of svg.querySelectorAll(":scope > .hop-handle")) {
    if (element === from || element.touch?.action !== from.touch.action) continue;
    const there = middle(element);
    const [dx, dy] = [there[0] - here[0], there[1] - here[1]];
    const along = dx * way[0] + dy * way[1];
    const across = Math.abs(dx * way[1]) + Math.abs(dy * way[0]);
    if (along > 0.5 && along + 2 * across < least) [best, least] = [element, along + 2 * across];
  }
  return best;
}

function middle(element) {
  const box = element.getBBox();
  return [box.x + box.width / 2, box.y + box.height / 2];
}

// Note which attributes differ between two elements of the same build; else take the new one.
function compare(old, fresh, changes) {
  if (!alike(old, fresh)) {
    old.replaceChildren(...fresh.childNodes);
    copyAttributes(old, fresh);
    return;
  }
  copyAttributes(old, fresh, changes);
  const [ours, theirs] = [[...old.childNodes], [...fresh.childNodes]];
  ours.forEach((child, place) => {
    if (child.nodeType === Node.TEXT_NODE) {
      const flips = child.data !== theirs[place].data && old.closest(".hop-moves");
      if (flips) old.classList.add("hop-flip");
      child.data = theirs[place].data;
    } else compare(child, theirs[place], changes);
  });
}

function alike(one, other) {
  if (one.nodeName !== other.nodeName || one.childNodes.length !== other.childNodes.length) {
    return false;
  }
  return [...one.childNodes].every((child, place) => {
    const twin = other.childNodes[place];
    return child.nodeType === twin.nodeType && (child.nodeType !== Node.ELEMENT_NODE || alike(child, twin));
  });
}

function copyAttributes(old, fresh, changes = null) {
  const kept = ["class", "tabindex", "role", "transform", NOT_FOR_NOTEBOOK];
  const ours = old.parentNode?.nodeName === "svg" ? kept : [];
  for (const { name } of [...old.attributes]) {
    if (!fresh.hasAttribute(name) && !ours.includes(name) && !name.startsWith("aria-")) {
      old.removeAttribute(name);
    }
  }
  for (const { name, value } of [...fresh.attributes]) {
    const before = old.getAttribute(name);
    if (before === value) continue;
    const form = (text) => text?.replace(NUMBER, "#");
    if (changes && form(before) === form(value) && value.match(NUMBER)) {
      const [from, to] = [before.match(NUMBER).map(Number), value.match(NUMBER).map(Number)];
      changes.push({ element: old, name, value, from, to });
    } else {
      old.setAttribute(name, value);
    }
  }
}

// Let numbers run from what they are to what they become; return what stops this, and tells
// whether they had not come there yet.
function move(changes, within) {
  const end = () => changes.forEach(({ element, name, value }) => element.setAttribute(name, value));
  if (!within || !changes.length) {
    end();
    return () => false;
  }
  let began = null;
  let frame = requestAnimationFrame(function paint(now) {
    if (began === null) { // the first picture has enough to do with what is new
      began = now;
      frame = requestAnimationFrame(paint);
      return;
    }
    const share = Math.min(1, (now - began) / within);
    const eased = share * share * (3 - 2 * share);
    for (const { element, name, value, from, to } of changes) {
      let place = 0;
      const between = () => {
        const number = from[place] + (to[place] - from[place]) * eased;
        place += 1;
        return Math.round(number * 100) / 100;
      };
      element.setAttribute(name, share < 1 ? value.replace(NUMBER, between) : value);
    }
    frame = share < 1 ? requestAnimationFrame(paint) : null;
  });
  return () => {
    cancelAnimationFrame(frame);
    return frame !== null;
  };
}

function leave(element, moves) {
  if (!moves) return element.remove();
  for (const name of ["tabindex", "role", "aria-label"]) element.removeAttribute(name);
  element.setAttribute("class", "hop-go");
  element.addEventListener("animationend", () => element.remove(), { once: true });
}

function skipLeaving(element) {
  while (element?.classList.contains("hop-go")) element = element.nextElementSibling;
  return element;
}

// Return the elements of parts by their keys: read in one go, since to begin costs more than to read.
function parsed(parts) {
  const whole = `<svg xmlns="${SVG}">${parts.map(([, markup]) => markup).join("")}</svg>`;
  const found = new DOMParser().parseFromString(whole, "image/svg+xml").documentElement;
  const elements = [...document.importNode(found, true).children];
  return new Map(parts.map(([key], place) => [key, elements[place]]));
}

function make(name, attributes, space = null, words = "") {
  const element = space ? document.createElementNS(space, name) : document.createElement(name);
  set(element, attributes);
  if (words) element.textContent = words;
  return element;
}

function set(element, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (name === "class" && element.classList.length) element.classList.add(value);
    else if (element.getAttribute(name) !== String(value)) element.setAttribute(name, value);
  }
}

// What is written anew is laid out anew, and read out: even if it is the same.
function write(element, words) {
  if (element.textContent !== words) element.textContent = words;
}

function calm() {
  return matchMedia("(prefers-reduced-motion: reduce)").matches;
}
