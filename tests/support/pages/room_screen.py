"""What a test sees on the screen of a room: words and their places, and what shuts people out."""

import os
from pathlib import Path

from instructor.release.workbook_files import ROOT

SCREENSHOTS = Path(os.environ.get("HOP_BY_HOP_SCREENSHOTS", ROOT / ".output" / "screenshots"))
SMALLEST = 23.99  # 24 pixels of 1920 by 1080, but for what a sum of fractions loses
PROJECTOR = {"width": 1920, "height": 1080}


def picture(page, name):
    """Save a picture of the page."""
    SCREENSHOTS.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=SCREENSHOTS / f"{name.replace(' ', '-')}.png")


def violations(page, axe):
    """Return what axe-core finds: the rule, and the element. The page's own policy stays."""
    watch = page.context.new_cdp_session(page)
    watch.send("Runtime.evaluate", {"expression": axe})
    wanted = "axe.run(document, {resultTypes: ['violations']})"
    order = {"expression": wanted, "awaitPromise": True, "returnByValue": True}
    found = watch.send("Runtime.evaluate", order)["result"]["value"]
    assert len(found["passes"]) > 5, "axe-core has looked at nothing"
    return [(one["id"], node["html"][:200]) for one in found["violations"] for node in one["nodes"]]


FITS = """document.documentElement.scrollHeight <= innerHeight
  && document.body.scrollWidth <= innerWidth"""
# Words that are seen: their sizes, and on the map what of them lies on other words or on a pier.
WORDS = """() => {
  const seen = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node; node = walk.nextNode();) {
    const one = node.parentElement;
    if (!node.data.trim() || one.localName === 'option' || !one.checkVisibility()) continue;
    if (one.getClientRects().length) seen.push(one);
  }
  const map = document.getElementById('map'), area = map.getBoundingClientRect();
  const onMap = [...map.querySelectorAll('text')].filter(one => one.textContent
    && one.checkVisibility()
    && one.getBoundingClientRect().width).map(one => ({
      words: one.textContent, isMark: one.classList.contains('mark'),
      box: one.getBoundingClientRect()}));
  const piers = [...map.querySelectorAll('.pier .body')].map(one => ({
    words: 'a pier', isMark: true, box: one.getBoundingClientRect()}));
  // A line of words is taller than its letters: what it leaves free above and below does not count.
  const over = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1 &&
    Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 6;
  const all = [...onMap, ...piers], overlaps = [];
  all.forEach((a, n) => all.slice(n + 1).forEach(b => {
    if (!(a.isMark && b.isMark) && over(a.box, b.box)) overlaps.push(`${a.words} | ${b.words}`);
  }));
  return {
    names: onMap.map(one => one.words), overlaps,
    small: seen.filter(one => parseFloat(getComputedStyle(one).fontSize) *
      (one.ownerSVGElement ? one.getScreenCTM().a : 1) < SMALLEST)
      .map(one => `${one.textContent} ${getComputedStyle(one).fontSize}`),
    outside: onMap.filter(({box}) => box.left < area.left - 1 || box.right > area.right + 1
      || box.top < area.top - 1 || box.bottom > area.bottom + 1)
      .map(one => one.words),
  };
}""".replace("SMALLEST", str(SMALLEST))
# Where on a line of the map a click meets that line, and not one that crosses it or a name.
POINT = """one => {
  const box = one.getScreenCTM(), at = name => one[name].baseVal.value;
  for (const part of [0.5, 0.4, 0.6, 0.3, 0.7, 0.25, 0.75]) {
    const x = (at('x1') + (at('x2') - at('x1')) * part) * box.a + box.e;
    const y = (at('y1') + (at('y2') - at('y1')) * part) * box.d + box.f;
    if (document.elementFromPoint(x, y) === one) return [x, y];
  }
  throw new Error('no point of this line can be clicked');
}"""
