"""How long live figures take from the hand to the painted picture, in JupyterLab in Chromium.

Run it on a machine that does nothing else: `python tests/benchmarks/bench_live_figures.py`, or with
names of figures behind it ("header that asks" is one) for those alone. It prints medians, the
worst, and the machine's load before and after. Three things are measured:

* Pointer to paint, where nothing has to be computed: a part that is dragged follows the hand. The
  peer is a bare square over the same page, which follows by itself.
* Key to paint, with Python in between. The peer, in the same workbook and in turn with each move,
  is a bare slider of ipywidgets whose value Python writes into a line of text.
* Frames while a figure plays its steps; the peer is the same page at rest.

"Painted" is the first task after the frame that shows it. The browser paints 60 times a second, so
a wait of up to 17 ms for the next frame is in all of these times.
"""

import argparse
import json
import os
import statistics
import sys
import tempfile
from pathlib import Path

import nbformat

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))
from playwright.sync_api import Locator, Page, sync_playwright

from course_lib import widgets
from machines.lab_on_loopback import lab_on
from pages.figure_in_lab import FOCUS, LAPTOP, FigureInLab
from pages.live_figures import LINES
from pages.open_workbook import OpenWorkbook

MOVES = 50
AS_STUDENTS_HAVE_IT = "contentVisibility"  # cells out of sight are not painted
BROWSER = {"executable_path": "/usr/bin/chromium", "args": ["--no-sandbox", "--disable-gpu"]}
PEER = """import ipywidgets
slider, line = ipywidgets.IntSlider(0, 0, 1000), ipywidgets.HTML("0")
slider.observe(lambda change: setattr(line, "value", str(change.new)), names="value")
ipywidgets.VBox([slider, line])"""

# Note when keys and pointer moves come, and when what they change in an element is painted.
WATCH = """element => {
  let came = null;
  window.hopTook = [];
  window.hopWatch?.disconnect();
  window.hopListen?.abort();
  window.hopListen = new AbortController();
  // What the page does alone, it does at once; what comes later is Python's answer.
  const listen = (kind, act) =>
    addEventListener(kind, act, {capture: true, signal: window.hopListen.signal});
  listen('keydown', ({timeStamp}) => setTimeout(() => { came = timeStamp; }));
  listen('pointermove', ({timeStamp}) => {
    came = timeStamp;
    setTimeout(() => { came = null; });
  });
  window.hopWatch = new MutationObserver(() => {
    if (came === null) return;
    const since = came;
    came = null;
    requestAnimationFrame(() => {
      const channel = new MessageChannel();
      channel.port1.onmessage = () => window.hopTook.push(performance.now() - since);
      channel.port2.postMessage(null);
    });
  });
  window.hopWatch.observe(element,
    {subtree: true, childList: true, characterData: true, attributes: true});
}"""
# How long frames took, in ms, until a figure is at its last step; at rest, of as many frames.
FRAMES = """([root, count]) => new Promise(end => {
  const took = [];
  let before = null;
  const frame = now => {
    if (before !== null) took.push(now - before);
    before = now;
    const player = root.querySelector('.hop-player').textContent;
    const goes_on = count === null ? player.includes('Pause') : took.length < count;
    goes_on || took.length < 2 ? requestAnimationFrame(frame) : end(took);
  };
  requestAnimationFrame(frame);
})"""
# A bare square above the page that follows the hand.
SQUARE = """() => {
  const square = document.createElement('div');
  square.className = 'hop-handle hop-peer';
  square.style = 'position:fixed;left:40%;top:40%;width:20px;height:20px;'
    + 'background:teal;z-index:999';
  let from = null;
  square.onpointerdown = event => {
    from = event.clientX;
    square.setPointerCapture(event.pointerId);
  };
  square.onpointermove = event => {
    if (from !== null) square.style.transform = `translateX(${event.clientX - from}px)`;
  };
  square.onpointerup = () => square.remove();
  document.body.append(square);
}"""
# A point at which a part can be taken hold of.
GRIP = """element => {
  const box = element.getBoundingClientRect();
  for (let y = box.y + 1; y < box.bottom; y += 3) for (let x = box.x + 1; x < box.right; x += 3) {
    if (document.elementFromPoint(x, y)?.closest('.hop-handle') === element) return [x, y];
  }
}"""
TOOK = "count => window.hopTook.length >= count"


def workbook(folder: Path, names: list[str]) -> Path:
    """Write a workbook with the figures of these names, and the peer behind them."""
    figures = [LINES[name] for name in names]
    lines = [f"from course_lib.widgets import {', '.join(widgets.__all__)}", *figures, PEER]
    lines += ["pass"] * 4  # how long a workbook must be before its run is waited for
    kernel = {"display_name": "Python 3", "language": "python", "name": "python3"}
    book = nbformat.v4.new_notebook(
        cells=[nbformat.v4.new_code_cell(line) for line in lines], metadata={"kernelspec": kernel}
    )
    path = folder / "figures.ipynb"
    path.write_text(json.dumps(book))
    return path


def took(page: Page, count: int) -> list[float]:
    """Wait for so many painted changes, and return how long each took."""
    page.wait_for_function(TOOK, arg=count)
    return [float(one) for one in page.evaluate("window.hopTook")]


def follows_the_pointer(page: Page, handle: Locator) -> list[float]:
    """Drag a part to and fro; what is watched is the part itself, which the page moves alone."""
    handle.scroll_into_view_if_needed()
    x, y = handle.evaluate(GRIP)
    page.mouse.move(x, y)
    page.mouse.down()
    handle.evaluate(WATCH)
    for move in range(1, MOVES + 1):
        page.mouse.move(x + (60 if move % 2 else -60) + move % 5, y)
        page.wait_for_timeout(20)
    page.mouse.up()
    return took(page, 1)


def answers_keys(page: Page, figure: FigureInLab, peer: Locator) -> tuple[list[float], list[float]]:
    """Move a part of a figure by keys, and the bare slider in turn; return both times."""
    action = next(one for one in figure.actions() if not isinstance(one, int))
    ours: list[float] = []
    bare: list[float] = []
    for move in range(MOVES):
        kind = figure.root.evaluate(FOCUS, action)
        figure.root.locator("svg").evaluate(WATCH)
        keys = {"slider": "ArrowLeft" if move % 2 else "ArrowRight", "full slider": "ArrowLeft"}
        page.keyboard.press(keys.get(kind, "Enter"))
        ours += took(page, 1)[:1]
        figure.answered()
        peer.locator(".noUi-handle").focus()
        peer.locator(".widget-html-content").evaluate(WATCH)
        page.keyboard.press("ArrowRight")
        bare += took(page, 1)[:1]
    return ours, bare


def line(name: str, times: list[float]) -> str:
    middle = statistics.median(times)
    return f"{name:<44}{middle:>9.1f}{max(times):>9.1f}{len(times):>7}"


def frames(name: str, times: list[float]) -> str:
    dropped = sum(max(0, round(one * 60 / 1000) - 1) for one in times)
    rate = 1000 * len(times) / sum(times)
    return f"{name:<44}{rate:>9.1f} frames/s, {dropped} dropped of {len(times) + dropped}"


def measure(opened: OpenWorkbook, names: list[str]) -> None:
    page = opened.page
    peer = page.locator(".jp-Notebook .jp-Cell").nth(len(names) + 1)
    print(f"{'milliseconds':<44}{'median':>9}{'worst':>9}{'moves':>7}")
    for place, name in enumerate(names, start=1):
        figure = FigureInLab(page, place)
        figure.run_anew()
        sliders = figure.root.locator("svg [role=slider]")
        if sliders.count():
            times = follows_the_pointer(page, sliders.first)
            figure.answered()
            page.evaluate(SQUARE)
            bare = follows_the_pointer(page, page.locator(".hop-peer"))
            ratio = statistics.median(times) / statistics.median(bare)
            print(
                line(f"{name}: pointer to paint, in the page", times),
                f"  {ratio:.2f} x the bare square",
            )
            print(line(f"{name}: the bare square", bare), flush=True)
        ours, bare = answers_keys(page, figure, peer)
        ratio = statistics.median(ours) / statistics.median(bare)
        print(line(f"{name}: key to paint, with Python", ours), f"  {ratio:.2f} x the bare slider")
        print(line(f"{name}: the bare slider in turn", bare), flush=True)
        play = figure.root.get_by_role("button", name="Play")
        if play.is_visible():
            rest = page.evaluate(FRAMES, [figure.root.element_handle(), 120])
            play.click()
            playing = page.evaluate(FRAMES, [figure.root.element_handle(), None])
            print(frames(f"{name}: at rest", rest))
            print(frames(f"{name}: while it plays", playing), flush=True)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("names", nargs="*", metavar="name", help=f"one of: {', '.join(LINES)}")
    names = parser.parse_args().names or list(LINES)
    if unknown := [name for name in names if name not in LINES]:
        parser.error(f"there is no figure {unknown[0]!r}; there are: {', '.join(LINES)}")
    print("load of the machine at the start:", *os.getloadavg(), f"on {os.cpu_count()} cores")
    with tempfile.TemporaryDirectory() as place, sync_playwright() as starter:
        folder, settings = Path(place) / "student", Path(place) / "settings"
        folder.mkdir()
        settings.mkdir()
        path = workbook(folder, names)
        with lab_on(folder, settings, windowing=AS_STUDENTS_HAVE_IT) as address:
            browser = starter.chromium.launch(**BROWSER)  # type: ignore[arg-type]
            opened = OpenWorkbook(browser, address, path.name, LAPTOP)
            opened.run_all()
            measure(opened, names)
            browser.close()
    print("load of the machine at the end:", *os.getloadavg())


if __name__ == "__main__":
    main()
