"""Where the words of a figure stand in a real browser, and which of them cover others."""

# Texts with a place for each letter are left out: they span their row.
BOXES = """() => [...document.querySelectorAll('svg text')]
    .filter(text => !text.getAttribute('x').includes(' '))
    .map(text => {
        const box = text.getBBox(), group = text.parentNode;
        const framed = group.querySelector(':scope > title') && group.querySelector('rect');
        const frame = framed && framed.getBBox();
        return {words: text.textContent, x: box.x, y: box.y, right: box.x + box.width,
                bottom: box.y + box.height, inside: frame && [frame.x, frame.x + frame.width]};
    })"""
SIZE = """() => {
    const box = document.querySelector('svg').viewBox.baseVal;
    return [box.width, box.height];
}"""


def boxes(page, figure):
    """Show a figure, and return the box of each of its texts."""
    page.set_content(figure.svg)
    return page.evaluate(BOXES)


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
