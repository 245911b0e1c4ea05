"""Where the words of a figure stand in a real browser, and which of them cover others."""

# Texts with a place for each letter are left out: they span their row.
BOXES = """root => [...root.querySelectorAll('text')]
    .filter(text => !text.getAttribute('x').includes(' '))
    .map(text => {
        const box = text.getBBox(), group = text.parentNode;
        const framed = group.querySelector(':scope > title') && group.querySelector('rect');
        const frame = framed && framed.getBBox();
        return {words: text.textContent, x: box.x, y: box.y, right: box.x + box.width,
                bottom: box.y + box.height, inside: frame && [frame.x, frame.x + frame.width]};
    })"""
ALL_BOXES = f"""() => [...document.querySelectorAll('body > svg')].map(root => {{
    const {{width, height}} = root.viewBox.baseVal;
    return [width, height, ({BOXES})(root)];
}})"""
SIZE = """() => {
    const box = document.querySelector('svg').viewBox.baseVal;
    return [box.width, box.height];
}"""


def boxes(page, figure):
    """Show a figure, and return the box of each of its texts."""
    ((_, _, found),) = all_boxes(page, [figure])
    return found


def all_boxes(page, figures):
    """Show figures together, which costs less; of each return width, height and its boxes."""
    page.set_content("".join(figure.svg for figure in figures))
    return page.evaluate(ALL_BOXES)


def covered(found):
    """Return the pairs of words that cover each other."""
    return [
        (one["words"], other["words"])
        for place, one in enumerate(found)
        for other in found[:place]
        if _overlap(one, other)
    ]


def _overlap(one, other):
    """Letters do not fill their boxes, so a pixel or two is allowed."""
    return (
        min(one["right"], other["right"]) - max(one["x"], other["x"]) > 1
        and min(one["bottom"], other["bottom"]) - max(one["y"], other["y"]) > 2
    )


# Words of all drawings on a page that leave theirs, and pairs that cover each other.
MISPLACED = """() => [...document.querySelectorAll('svg.hop-figure')].flatMap(svg => {
  const paper = svg.getBoundingClientRect();
  const words = [...svg.querySelectorAll('text')].map(text => [text, text.getBoundingClientRect()]);
  const outside = words.filter(([_, box]) => box.x < paper.x - 1 || box.right > paper.right + 1
    || box.y < paper.y - 1 || box.bottom > paper.bottom + 1);
  const whole = words.filter(([text]) => !text.getAttribute('x')?.includes(' '));
  const pairs = whole.flatMap(([one, a], place) => whole.slice(0, place)
    .filter(([_, b]) => Math.min(a.right, b.right) - Math.max(a.x, b.x) > 1
      && Math.min(a.bottom, b.bottom) - Math.max(a.y, b.y) > 2.5)
    .map(([other]) => `${one.textContent} | ${other.textContent}`));
  return [...outside.map(([text]) => `outside: ${text.textContent}`), ...pairs];
})"""
SANS = ("Helvetica", "Arial", "Liberation Sans")


def misplaced(page, drawings, sans, mono, percent):
    """Show drawings in faces of this machine, so much larger or smaller, and find what is wrong."""
    faces = [(name, sans, percent) for name in SANS] + [("DejaVu Sans Mono", mono, 100)]
    rules = "".join(
        f"@font-face{{font-family:'{name}';font-weight:{weight};"
        f"src:local('{face}{bold}');size-adjust:{share}%}}"
        for name, face, share in faces for weight, bold in (("normal", ""), ("bold", " Bold"))
    )  # fmt: skip
    page.set_content(f"<style>{rules}</style>{''.join(drawings)}")
    page.evaluate("document.fonts.ready")
    return sorted(set(page.evaluate(MISPLACED)))
