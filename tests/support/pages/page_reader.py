"""Read a page as a browser's parser would, and say what could run, load or mislead on it."""

import re
from html.parser import HTMLParser
from itertools import pairwise

VOID = frozenset({"br", "hr", "img", "input", "link", "meta"})
LOADING = frozenset({"src", "srcset", "data", "poster", "background", "action", "formaction"})
ACTIVE = frozenset({"script", "iframe", "object", "embed", "form", "link", "base", "img", "audio",
                    "video", "foreignobject", "animate", "set", "use", "image"})  # fmt: skip
# Places on this page and its neighbours, and where one marks on one's own machine.
HARMLESS_LINK = re.compile(
    r"#[\w.-]+|[\w-]+\.(?:csv|html)|\.\./\w+\.html#[\w.-]+"
    r"|http://localhost:8888/formgrader/gradebook/[\w-]+/[\w-]+"
)
COLOURS = re.compile(r"--(\w+): (#[0-9a-f]{6})")


class PageReader(HTMLParser):
    """All elements with their attributes, the headings' levels, and the text."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.open: list[str] = []
        self.badly_nested: list[str] = []
        self.text = ""
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.badly_nested.append(tag)

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.text += data

    @property
    def words(self) -> str:
        """Return the text with every run of white space as one space."""
        return " ".join(self.text.split())

    @property
    def policy(self) -> str:
        """Return the page's content security policy."""
        return next(
            attrs["content"]
            for tag, attrs in self.elements
            if attrs.get("http-equiv") == "Content-Security-Policy"
        )

    @property
    def headings(self) -> list[int]:
        """Return the levels of the headings in their order."""
        return [int(tag[1]) for tag, _ in self.elements if re.fullmatch(r"h[1-6]", tag)]

    @property
    def ids(self) -> list[str]:
        """Return all ids in their order."""
        return [attrs["id"] for _, attrs in self.elements if "id" in attrs]

    def dangers(self) -> list[str]:
        """Return everything that could run or load; on a good page, nothing."""
        found = [tag for tag, _ in self.elements if tag in ACTIVE]
        for tag, attrs in self.elements:
            found += [f"{tag} {name}" for name in attrs if name.startswith("on")]
            found += [f"{tag} {name}" for name in attrs if name in LOADING or name == "style"]
            found += [f"{tag} {name}={attrs[name]}" for name in ("href", "xlink:href")
                      if name in attrs and not HARMLESS_LINK.fullmatch(attrs[name])]  # fmt: skip
        wanted = {"meta": 4, "style": 1}  # coding, policy, referrer, width of the view
        counts = {tag: [one for one, _ in self.elements].count(tag) for tag in wanted}
        return found + [f"{tag}: {counts[tag]}" for tag in wanted if counts[tag] != wanted[tag]]

    def dangling(self) -> list[str]:
        """Return the references within the page that lead nowhere."""
        wanted = [
            attrs["href"][1:] for _, attrs in self.elements if attrs.get("href", "").startswith("#")
        ]
        wanted += [
            attrs["aria-labelledby"] for _, attrs in self.elements if "aria-labelledby" in attrs
        ]
        return [name for name in wanted if name not in self.ids]


def skipped_levels(levels: list[int]) -> list[tuple[int, int]]:
    """Return neighbouring headings between which a level is left out."""
    return [pair for pair in pairwise(levels) if pair[1] > pair[0] + 1]


def colours(style: str) -> list[dict[str, str]]:
    """Return the named colours of each set (light, then dark) in a style sheet."""
    return [dict(COLOURS.findall(block)) for block in re.findall(r":root \{(.*?)\}", style, re.S)]


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours (WCAG 2.2, definition of contrast ratio)."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    channels = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
