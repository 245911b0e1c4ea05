"""Make pages on which nothing runs and which load nothing.

Three layers, each enough by itself against a script in a student's answer:

* every value is escaped, whoever wrote the template;
* characters that cannot be seen are written out, so that text cannot pose as other text;
* the page's own policy forbids scripts, forms, frames and anything remote. The one
  style sheet is named by its digest (W3C, Content Security Policy Level 3).

A page `NAME.html` has its style in `NAME.css` beside it, after the common style.
"""

__all__ = [
    "capitalised", "count", "number", "percent", "plain_count", "render_page", "unit_heading",
    "with_code",
]  # fmt: skip

import base64
import contextlib
import functools
import hashlib
import sys
from importlib.metadata import version
from pathlib import Path

from jinja2 import Environment, FileSystemBytecodeCache, FileSystemLoader, StrictUndefined
from jinja2.bccache import Bucket
from markupsafe import Markup, escape

from instructor.output.text import visible

COMMON = Path(__file__).parent / "templates"
NO_BREAK = "\N{NO-BREAK SPACE}"


def render_page(template: Path, *, like: Path | None = None, **values: object) -> str:
    """Fill a template, which extends `page.html`, and return the whole page.

    It looks `like` another template's page, with what its own style sheet adds.
    """
    style = _style(template, like)
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    page = _environment(template.parent).get_template(template.name)
    return page.render(page_style=Markup(style), style_digest=digest, **values)


def number(value: float) -> str:
    """Write points without needless decimals.

    >>> number(2.0), number(2.5)
    ('2', '2.5')
    """
    return f"{round(value, 2):g}"


def count(amount: float, one: str, many: str = "") -> str:
    """Write an amount with its noun.

    >>> count(1, "point").split(), count(2, "point").split()
    (['1', 'point'], ['2', 'points'])
    """
    return f"{number(amount)}{NO_BREAK}{one if amount == 1 else many or one + 's'}"


def plain_count(amount: int, one: str) -> str:
    """Write a whole amount with its noun, for a terminal.

    >>> plain_count(1, "file"), plain_count(0, "file")
    ('1 file', '0 files')
    """
    return f"{amount} {one if amount == 1 else one + 's'}"


def percent(share: float) -> str:
    """Write a share in whole per cent."""
    return f"{100 * share:.0f}{NO_BREAK}%"


def with_code(text: str) -> Markup:
    """Set what stands between backticks as code; all of it is escaped.

    >>> str(with_code("Is `a < b`?"))
    'Is <code>a &lt; b</code>?'
    """
    parts = [escape(visible(part)) for part in text.split("`")]
    if len(parts) % 2 == 0:  # a backtick without its partner is just a sign
        return escape(visible(text))
    code = Markup("<code>{}</code>")
    return Markup("").join(
        code.format(part) if place % 2 else part for place, part in enumerate(parts)
    )


def unit_heading(unit: str) -> str:
    """Return a unit's folder name as a heading.

    >>> unit_heading("01-frames-and-headers")
    'Unit 01: frames and headers'
    """
    place, _, words = unit.partition("-")
    return f"Unit {place}: {words.replace('-', ' ')}" if words else f"Unit {unit}"


def capitalised(text: str) -> str:
    """Begin with a capital, whatever follows; markup stays markup.

    >>> capitalised("the type of IPv4")
    'The type of IPv4'
    """
    return text[:1].upper() + text[1:]


class _KeptTemplates(FileSystemBytecodeCache):
    """Templates made into code once, and kept where and when Python keeps its own modules so."""

    def __init__(self) -> None:
        made_by = hashlib.sha256(Path(__file__).read_bytes() + version("jinja2").encode())
        super().__init__(str(COMMON / "__pycache__"), f"%s.{made_by.hexdigest()[:12]}.jinja")

    def dump_bytecode(self, bucket: Bucket) -> None:
        if sys.dont_write_bytecode:
            return
        with contextlib.suppress(OSError):  # not ours to write: then it is made each time
            Path(self.directory).mkdir(exist_ok=True)
            super().dump_bytecode(bucket)


@functools.cache
def _environment(folder: Path) -> Environment:
    environment = Environment(
        bytecode_cache=_KeptTemplates(),
        loader=FileSystemLoader([folder, COMMON]),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_shown,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(
        capitalised=capitalised,
        count=count,
        number=number,
        percent=percent,
        unit_heading=unit_heading,
        with_code=with_code,
        unit_number=lambda unit: unit.partition("-")[0],
    )
    return environment


@functools.cache
def _style(template: Path, like: Path | None) -> str:
    pages = [COMMON / "page.css", *([like] if like else []), template]
    sheets = [page.with_suffix(".css") for page in pages]
    return "\n".join(sheet.read_text(encoding="utf-8") for sheet in sheets)


def _shown(value: object) -> object:
    """Prepare a value for the page; only markup made by this project passes as it is."""
    return visible(value) if isinstance(value, str) and not isinstance(value, Markup) else value
