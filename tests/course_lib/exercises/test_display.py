"""A panel reads the same as text and as a page, and student text stays text."""

from html.parser import HTMLParser

from course_lib.exercises.display import Panel

PANEL = Panel(
    "Exercise 1.1 <b>",
    (("Seen", "<script>alert(1)</script> & more"),),
    parts=(("words", 1, 1), ("refusals", 0, 1)),
    columns=("unit", "title"),
    table=(("01", "<i>x</i>"),),
)


class Tags(HTMLParser):
    def __init__(self):
        super().__init__()
        self.seen = []
        self.words = ""

    def handle_starttag(self, tag, attrs):
        self.seen.append(tag)

    def handle_data(self, data):
        self.words += data + " "


def test_both_forms_say_the_same_words():
    reader = Tags()
    reader.feed(PANEL.html())
    for piece in ("Exercise 1.1 <b>", "<script>alert(1)</script> & more", "✓ words 1/1",
                  "○ refusals 0/1", "<i>x</i>"):  # fmt: skip
        assert piece in PANEL.text()
        assert piece in reader.words.replace("\xa0", " ")
    assert not {"script", "b", "i"} & set(reader.seen)


def test_a_workbook_gets_both_forms():
    assert set(PANEL._repr_mimebundle_()) == {"text/plain", "text/html"}
