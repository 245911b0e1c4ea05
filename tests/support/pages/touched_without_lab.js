// The page's side of a figure without JupyterLab: a model that a test feeds, and what is to be seen.

class Model {
  constructor(state) {
    this.state = state;
    this.listeners = [];
    this.sent = [];
  }

  get(name) {
    return this.state[name];
  }

  on(name, listener) {
    this.listeners.push([name, listener]);
  }

  off(name, listener) {
    this.listeners = this.listeners.filter(([one, other]) => one !== name || other !== listener);
  }

  send(content) {
    this.sent.push(content);
  }

  // As ipywidgets does: first all values, then who listens is told of those that are others.
  update({ place, ...state }) {
    const changed = Object.keys(state).filter((name) => state[name] !== this.state[name]);
    Object.assign(this.state, state);
    for (const [name, listener] of [...this.listeners]) {
      if (changed.some((one) => name === `change:${one}`)) listener();
    }
  }
}

let pages = 0;

class Page {
  constructor(state) {
    pages += 1;
    this.model = new Model({ ...state, place: `page ${pages}` }); // and no other page's element
    this.elements = [];
    this.look();
    this.end = window.hopFigure.initialize({ model: this.model });
  }

  // Show the figure in one more place; the page's own listener finds it a little later.
  look() {
    const element = document.createElement("div");
    element.dataset.hopFigure = this.model.get("place");
    document.body.append(element);
    this.elements.push(element);
    return element;
  }

  close() {
    this.end();
    for (const element of this.elements) element.remove();
  }

  // All that is to be seen and to be read out, at each step.
  seen(place = 0) {
    const root = this.elements[place].querySelector(".hop-touch");
    const slider = root.querySelector("input[type=range]");
    const at = (step) => {
      slider.value = step + 1;
      slider.dispatchEvent(new Event("input"));
      return plain(root);
    };
    return [plain(root), ...Array.from({ length: Number(slider.max) }, (_, step) => at(step))];
  }
}

// Markup with attributes in order of their names, and with values of fields. Left out is what tells
// how it came about: names of this page alone, the room that is kept for a player, no classes.
function plain(node) {
  if (node.nodeType !== Node.ELEMENT_NODE) return node.data;
  const untold = node.matches(".hop-player") ? ["hidden", "style"] : ["id", "aria-busy"];
  const own = [...node.attributes]
    .filter(({ name, value }) => value && !untold.includes(name))
    .map(({ name, value }) => `${name}=${name === "aria-describedby" || value}`).sort();
  return [node.nodeName, own, node.value ?? null, [...node.childNodes].map(plain)];
}

window.HopPage = Page;
