"""The live figure of one cell, open in JupyterLab, with what a person does to it, by keys alone."""

import re
from typing import NamedTuple

LAPTOP = {"width": 1366, "height": 768}
TALL = {"width": 1366, "height": 1600}
THEMES = {"light": "JupyterLab Light", "dark": "JupyterLab Dark"}
KEYS = {"slider": "ArrowRight", "full slider": "ArrowLeft", "select": "ArrowDown"}
TYPED = ("1", "17", "0x1f", "0b101", "60")
NAMED = re.compile(
    r"""^\s*- '?(button|slider|textbox|combobox|spinbutton|checkbox)\b(?: "((?:[^"\\]|\\.)*)")?""",
    re.MULTILINE,
)


class Seen(NamedTuple):
    """A figure after one thing in it was used; `moving` and `changed` say what moved by itself."""

    action: int | str | None  # None: before anything was used
    is_there: bool  # what was used before it may have taken it away
    is_other: bool  # words, values or the picture without its focus are others than before
    keeps_focus: bool
    said: str
    height: float
    wider: float  # what does not fit, in pixels
    rows: int  # of controls
    controls: int
    moving: list[str]
    changed: int  # frames in a row in which the picture was another one
    unmarked: list[str]  # places for what is said that were not there at first


class FigureInLab:
    """A figure in the cell with a number; an action is a part's, or the place of a control."""

    def __init__(self, page, cell):
        self.page = page
        self._place = cell
        self.cell = page.locator(".jp-Notebook .jp-Cell").nth(cell)
        self.root = self.cell.locator(".hop-touch")

    def run_anew(self):
        """Run the cell, and wait until the new figure stands there and nothing in it moves."""
        before = self.page.evaluate(RUN, self._place)
        fresh = self.cell.locator(f"[data-hop-figure]:not([data-hop-figure='{before}'])")
        fresh.locator(".hop-touch svg > g").first.wait_for(state="attached")
        self.root.evaluate(INTO_VIEW)
        self.answered()

    def answered(self):
        """Wait until Python has answered all that was asked, and the page has shown it."""
        self.page.evaluate(ANSWERED)
        self.root.evaluate(REST)

    def said(self):
        """Return what the figure says of its changes."""
        return self._told()[0]

    def refusal(self):
        """Return why the last thing that was asked was not done."""
        return self._told()[1]

    def _told(self):
        return self.root.evaluate(TOLD)

    def actions(self):
        """Return all that can be done now: the places of controls, and what parts are for."""
        return self.root.evaluate(ACTIONS)

    def use(self, action):
        """Do something with a control or a part, by keys; tell whether it is there at all."""
        kind = self.root.evaluate(FOCUS, action)
        if kind == "text":
            self._type_something()
        elif kind is not None:
            self.page.keyboard.press(KEYS.get(kind, "Enter"))
            self.page.evaluate(ANSWERED)
        return kind is not None

    def _type_something(self):
        """Type numbers until one is taken, and is another one than before."""
        before = self.said()
        for text in TYPED:
            self.type(text)
            said, refusal = self._told()
            if not refusal and said != before:
                return

    def type(self, text):
        """Put a text into the field that has the focus."""
        self.page.keyboard.press("Control+a")
        self.page.keyboard.press("Delete")
        self.page.keyboard.insert_text(text)
        self.page.keyboard.press("Enter")
        self.page.evaluate(ANSWERED)

    def walk(self):
        """Use everything that is there at first, one after the other; return what is seen of it."""
        self.root.evaluate(MARK)
        return [self.seen_after(action) for action in (None, *self.actions())]

    def seen_after(self, action=None):
        """Use one thing, or nothing, and return what is seen then."""
        is_there = action is not None and self.use(action)
        return Seen(action, is_there, **self.root.evaluate(LOOK))

    def names(self):
        """Return role and name of everything that can be touched, as a screen reader gets them."""
        return NAMED.findall(self.root.aria_snapshot())

    def contrasts(self):
        """Return the contrast of each piece of words to what is behind it, and the words."""
        return self.root.evaluate(CONTRASTS)


def change_theme(page, theme):
    """Show JupyterLab light or dark, as its menu does."""
    order = "theme => jupyterapp.commands.execute('apputils:change-theme', {theme})"
    page.evaluate(order, THEMES[theme])
    is_light = "true" if theme == "light" else "false"
    page.locator(f"body[data-jp-theme-light='{is_light}']").wait_for(state="attached")


# A figure says itself whether anything is still to come of what was asked, step by step or from
# another thread of Python.
ANSWERED = """() => new Promise(end => {
  const look = () => {
    if (document.querySelector('.hop-touch[aria-busy="true"]')) requestAnimationFrame(look);
    else requestAnimationFrame(() => requestAnimationFrame(end));
  };
  look();
})"""
# Ends once the figure has stayed the same for some frames; without motion it does at once.
REST = """root => new Promise(end => {
  if (matchMedia('(prefers-reduced-motion: reduce)').matches) return end();
  let before = null, same = 0;
  const look = () => {
    const now = root.outerHTML;
    same = now === before ? same + 1 : 0;
    before = now;
    same < 8 ? requestAnimationFrame(look) : end();
  };
  look();
})"""
# Run a cell, and return by what its figure was known until then.
RUN = """place => {
  const cell = document.querySelectorAll('.jp-Notebook .jp-Cell')[place];
  const before = cell.querySelector('[data-hop-figure]').dataset.hopFigure;
  jupyterapp.shell.currentWidget.content.activeCellIndex = place;
  return jupyterapp.commands.execute('notebook:run-cell').then(() => before);
}"""
INTO_VIEW = "root => root.scrollIntoView({block: 'nearest'})"
TOLD = """root => ['status', 'alert'].map(
  role => root.querySelector(`[role=${role}]`).innerText)"""
STATE = """root => {
  const svg = root.querySelector('svg').cloneNode(true);
  for (const one of svg.querySelectorAll('[tabindex]')) {
    ['tabindex', 'class', 'data-lm-suppress-shortcuts'].forEach(name => one.removeAttribute(name));
  }
  const fields = [...root.querySelectorAll('input, select')].map(one => one.value);
  const words = ['[role=status]', '[role=alert]', 'pre'].map(
    one => root.querySelector(one).textContent);
  return JSON.stringify([words, fields, svg.innerHTML]);
}"""
ACTIONS = """root => {
  const controls = [...root.querySelector('.hop-controls').children].map((_, place) => place);
  const parts = [...root.querySelectorAll('svg .hop-handle')].map(one => one.touch.action);
  return [...controls, ...new Set(parts)];
}"""
FOCUS = """(root, action) => {
  const control = root.querySelector('.hop-controls').children[action];
  const parts = [...root.querySelectorAll('svg .hop-handle')]
    .filter(one => one.touch.action === action);
  const one = control
    ? (control.matches('button') ? control : control.querySelector('input, select'))
    : parts.find(part => part.getAttribute('aria-pressed') !== 'true') ?? parts[0];
  if (!one) return null;
  one.focus();
  if (one.matches('select')) {
    if (one.selectedIndex === one.options.length - 1) one.selectedIndex = 0;
    return 'select';
  }
  if (one.matches('input')) return 'text';
  if (one.getAttribute('role') !== 'slider') return 'button';
  return one.ariaValueNow === one.ariaValueMax ? 'full slider' : 'slider';
}"""
# Behind words lies the first shape under them that is filled, or the page.
CONTRASTS = """root => {
  const channels = text => (text.match(/[\\d.]+/g) ?? [0, 0, 0, 0]).map(Number);
  const solid = text => text !== 'none' && (channels(text)[3] ?? 1) === 1;
  const light = text => {
    const [red, green, blue] = channels(text).map(one => one / 255).map(
      one => one <= 0.04045 ? one / 12.92 : ((one + 0.055) / 1.055) ** 2.4);
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  };
  const ofPage = one => {
    while (one.parentElement && !solid(getComputedStyle(one).backgroundColor)) {
      one = one.parentElement;
    }
    return getComputedStyle(one).backgroundColor;
  };
  const behind = one => {
    if (!one.ownerSVGElement) return ofPage(one);
    const box = one.getBoundingClientRect();
    const pile = document.elementsFromPoint(box.x + box.width / 2, box.y + box.height / 2);
    const shape = pile.slice(pile.indexOf(one) + 1).find(other => other.localName !== 'text' &&
      (!other.ownerSVGElement || solid(getComputedStyle(other).fill)));
    return shape?.ownerSVGElement ? getComputedStyle(shape).fill : ofPage(one.ownerSVGElement);
  };
  const walk = document.createTreeWalker(root, NodeFilter.SHOW_TEXT), found = [];
  for (let node; node = walk.nextNode();) {
    const one = node.parentElement;
    if (!node.data.trim() || !one.checkVisibility({checkVisibilityCSS: true})) continue;
    if (['title', 'desc', 'style', 'option'].includes(one.localName)) continue;
    const look = getComputedStyle(one);
    const [low, high] = [light(one.ownerSVGElement ? look.fill : look.color), light(behind(one))]
      .sort((a, b) => a - b);
    found.push([(high + 0.05) / (low + 0.05), node.data.trim()]);
  }
  return found;
}"""
MARK = "root => root.querySelectorAll('[role=status], [role=alert]').forEach(one => one.seen = 1)"
UNMARKED = """root => [...root.querySelectorAll('[role=status], [role=alert], [aria-live]')]
  .filter(one => !one.seen).map(one => one.outerHTML)"""
# In how many frames, one after the other, the picture was another one: results come now and then.
CHANGED = """root => new Promise(end => {
  let isOther = false, row = 0;
  const watch = new MutationObserver(() => { isOther = true; });
  watch.observe(root.querySelector('svg'),
    {subtree: true, childList: true, characterData: true, attributes: true});
  const look = () => {
    const goesOn = isOther && ++row < 5;
    isOther = false;
    if (goesOn) return requestAnimationFrame(look);
    watch.disconnect();
    end(row);
  };
  requestAnimationFrame(() => requestAnimationFrame(look));
})"""
LOOK = f"""async root => {{
  const changed = await ({CHANGED})(root);
  const now = ({STATE})(root), before = root.seenBefore ?? now;
  root.seenBefore = now;
  const middles = [...root.querySelector('.hop-controls').children]
    .map(one => one.offsetTop + one.offsetHeight / 2);
  return {{
    is_other: now !== before, keeps_focus: root.contains(document.activeElement),
    said: root.querySelector('[role=status]').innerText,
    height: root.getBoundingClientRect().height, wider: root.scrollWidth - root.clientWidth,
    rows: new Set(middles.map(one => Math.round(one / 10))).size, controls: middles.length,
    moving: root.getAnimations({{subtree: true}}).filter(one => one.playState === 'running')
      .map(one => one.animationName ?? one.transitionProperty),
    changed, unmarked: ({UNMARKED})(root),
  }};
}}"""
