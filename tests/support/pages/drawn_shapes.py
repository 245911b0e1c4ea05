"""Read the shapes and words of a drawing, and what its groups say when they are pointed at."""

import xml.etree.ElementTree as ET

SVG = "{http://www.w3.org/2000/svg}"


def tree_of(drawn):
    """Return the elements of a figure; what is an element already stays as it is."""
    return drawn if isinstance(drawn, ET.Element) else ET.fromstring(drawn.svg)


def shapes(drawn, name, look=None):
    """Return the elements of a kind, and of a look if one is given."""
    return [one for one in tree_of(drawn).iter(SVG + name) if look in (None, one.get("class"))]


def looks(drawn, name="*"):
    """Return the looks of all elements, or of those of a kind."""
    return [one.get("class") for one in tree_of(drawn).iter(name if name == "*" else SVG + name)]


def words(drawn):
    """Return all words of a drawing."""
    return [one.text for one in shapes(drawn, "text")]


def tips(drawn):
    """Return what each group says when it is pointed at."""
    return [one.find(f"{SVG}title").text for one in shapes(drawn, "g")]


def is_told(figure):
    """Return True for a well-formed image with title and description of the figure."""
    tree = tree_of(figure)
    told = [tree.find(SVG + name).text for name in ("title", "desc")]
    return tree.get("role") == "img" and told == [figure.title, figure.alternative_text]
