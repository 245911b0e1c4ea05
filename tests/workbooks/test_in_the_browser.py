"""The workbooks in real JupyterLab in a real browser: run all cells, move each control, look."""

import json
import os
import re

import pytest
from playwright.sync_api import expect

from course_lib.exercises.progress import BUNDLE_MARK
from course_lib.ferry.shared_line import Sharing, measure_sharing
from course_lib.figures.ferry.first_looks import FIRST_LOOKS
from course_lib.figures.ferry.harbour import WIDTH
from course_lib.widgets.buffer_measures import SHARP, sharp_run
from instructor.release.workbook_files import (
    model_answers,
    read_workbook,
    unit_names,
)
from machines.lab_on_loopback import lab_on
from machines.real_packets import for_a_short_time
from pages.figure_in_lab import ANSWERED, REST
from pages.open_workbook import USUAL, OpenWorkbook
from pages.run_workbook import REAL, noise, points, printed

UNITS = unit_names()
RUN_S = 900


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Return a folder as a student has it, with all workbooks blank."""
    home = tmp_path_factory.mktemp("student")
    (home / BUNDLE_MARK).touch()
    for unit in UNITS:
        workbook = for_a_short_time(read_workbook(unit))
        (home / f"{unit}.ipynb").write_text(json.dumps(workbook))
    return home


@pytest.fixture(scope="module")
def lab(folder, tmp_path_factory):
    """Start JupyterLab on the folder; end it when the tests are done."""
    with lab_on(folder, tmp_path_factory.mktemp("settings")) as address:
        yield address


@pytest.fixture(scope="module")
def jupyterlab(browser):
    """Lend the page that shows the workbooks, one after the other: JupyterLab is loaded once."""
    page = browser.new_page(viewport=USUAL)
    yield page
    page.close()


@pytest.fixture(scope="module")
def blank(browser, jupyterlab, lab, request):
    """Return a unit's workbook as it was handed out, open; the tests of a unit share it."""
    opened = OpenWorkbook(browser, lab, f"{request.param}.ipynb", page=jupyterlab)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def page(blank):
    """Return a unit's workbook once all its cells have run."""
    blank.run_all()
    return blank


def of_unit(number):
    """Mark a test that looks at the workbook of one unit."""
    (name,) = (unit for unit in UNITS if unit.startswith(number))
    return pytest.mark.parametrize("blank", [name], indirect=True)


every_unit = pytest.mark.parametrize("blank", UNITS, indirect=True)


@every_unit
def test_the_first_screen_has_a_picture_before_anything_was_run(blank):
    unit = blank.name.removesuffix(".ipynb")
    shown = blank.page.locator(".jp-MarkdownOutput img").first
    expect(shown).to_be_in_viewport(ratio=1)
    assert shown.evaluate("image => image.decode().then(() => image.naturalWidth)") == WIDTH
    assert shown.get_attribute("alt") == FIRST_LOOKS[unit]().alternative_text
    blank.picture(f"{unit}-first-screen")
    assert blank.errors == []


@every_unit
def test_a_blank_workbook_runs_says_no_answer_and_earns_nothing(page):
    """Where it has real packets, they flow; on a machine for tests there is no other way."""
    shown = page.outputs("text=no answer")
    assert shown.count() >= 6
    unit = page.name.removesuffix(".ipynb")
    page.picture(f"{unit}-blank")
    assert page.errors == []
    done = page.as_it_is()
    assert set(points(done).values()) == {0.0}
    assert noise(done) == []
    if unit in REAL and os.environ.get("CI") == "true":
        assert "This machine can have a private network" in printed(done)
    assert REAL.get(unit, "") in printed(done)


@of_unit("01")
def test_every_bit_of_the_live_header_is_a_key(page):
    live = page.outputs(".hop-touch").first
    words = live.get_by_role("status")
    page.picture("01-live-header-before")
    live.get_by_role("button", name="Bit 64:").click()
    expect(words).to_contain_text("Time to live: 123 → 251")
    expect(words).to_contain_text("does not agree")
    page.page.keyboard.press("ArrowRight")
    page.page.keyboard.press("Space")
    expect(words).to_contain_text("Bit 65 is number 2 of the 8 bits of time to live")
    live.get_by_label("Field", exact=True).select_option(label="fragment offset")
    typed = live.get_by_role("textbox", name="Value, 0 to 8191")
    expect(typed).to_have_value("185")
    for text in ("9999", "0x172"):
        _type(page.page, typed, text)
    expect(words).to_contain_text("Fragment offset: 185 → 370")
    live.get_by_role("button", name="Mend the checksum").click()
    expect(words).to_contain_text("the checksum agrees")
    live.scroll_into_view_if_needed()
    page.picture("01-live-header")
    live.get_by_role("button", name="Start again").click()
    expect(words).to_contain_text("Press any bit to flip it")
    assert page.errors == []


@of_unit("02")
def test_the_live_sum_is_flipped_and_played(page):
    live = page.outputs(".hop-touch").first
    live.get_by_role("button", name="One step back").click()
    expect(live.locator("svg")).to_have_attribute(
        "aria-label", "4 of 4 words added: 0xddf1; a 1 is carried"
    )
    page.picture("02-live-sum-carried")
    for word in (1, 2):
        live.get_by_role("button", name=f"Word {word}, column 0,").click()
    expect(live.get_by_role("status")).to_contain_text("the words add up to 0xddf1")
    page.picture("02-live-sum-flipped")
    live.get_by_label("Speed", exact=True).select_option(label="fast")
    live.get_by_role("slider", name="Step").focus()
    page.page.keyboard.press("Home")
    expect(live).to_contain_text("step 1 of 5")
    live.get_by_role("button", name="Play").click()
    live.get_by_role("button", name="Pause").click()
    live.get_by_role("button", name="Play").click()
    expect(live).to_contain_text("step 5 of 5", timeout=RUN_S * 1000)
    assert page.errors == []


@of_unit("02")
def test_live_damage_is_guessed_rained_and_opened(page):
    live = page.page.locator(".hop-touch", has_text="two flipped bits")
    live.scroll_into_view_if_needed()
    words = live.get_by_role("status")
    guess = live.get_by_role("slider", name="Your guess: two flipped bits")
    guess.focus()
    page.page.keyboard.press("End")
    expect(guess).to_have_attribute("aria-valuetext", "100 %")
    live.get_by_role("button", name="Damage 1,000 headers: two flipped bits").click()
    expect(words).to_contain_text("Two flipped bits: missed")
    expect(guess).to_have_count(0)  # the answer is out
    page.picture("02-live-errors-rained")
    live.get_by_role("button", name="two flipped bits, missed header 1 of the tray").click()
    expect(words).to_contain_text("2 bits changed, the words add up to 0xffff: missed")
    page.picture("02-live-errors-opened")
    live.get_by_role("button", name="Undo all flips").click()
    live.get_by_role("button", name="Word 0, column 15, worth 1: 0").click()
    expect(words).to_contain_text("1 bit changed, the words add up to 0x0001: noticed")
    live.get_by_label("Headers a press", exact=True).select_option("100,000")
    live.get_by_role("button", name="Damage 100,000 headers: random words").click()
    expect(words).to_contain_text("of 100,000 errors")  # all pieces have come
    expect(words).to_contain_text("the header passes")
    page.picture("02-live-errors-many")
    assert page.errors == []


@of_unit("03")
def test_the_line_of_addresses_is_split_dragged_and_seen_near_and_far(page):
    live = page.outputs(".hop-touch").last
    words = live.get_by_role("status")
    expect(words).to_contain_text("How many prefixes does the router announce")
    _type(page.page, live.get_by_role("textbox", name="Your guess"), "4")
    page.picture("03-live-prefixes-guessed")
    live.get_by_role("button", name="Show the answer").click()
    expect(words).to_contain_text("Your guess: 4. The answer: 3.")
    live.get_by_role("button", name="Choose Lantern Pier, 198.51.100.64/27").click()
    live.get_by_role("button", name="Split").click()
    expect(words).to_contain_text("8 assignments, 3 prefixes announced.")
    moving = live.get_by_role("slider", name="Move Lantern Pier")
    _drag(page.page, moving, 220)
    expect(words).to_contain_text("/28: moved from 198.51.100.")  # the hand may stop on its way
    expect(live.locator("svg")).to_contain_text("Withdrawn:")
    page.picture("03-live-prefixes-dragged")
    zoom = live.get_by_role("slider", name="Length of what is seen")
    zoom.focus()
    for key, length in (("Home", "0"), ("ArrowRight", "1"), ("End", "32"), ("ArrowLeft", "31")):
        page.page.keyboard.press(key)
        expect(zoom).to_have_attribute("aria-valuenow", length)
    page.picture("03-live-prefixes-near")
    assert page.errors == []


@of_unit("04")
def test_the_live_trie_is_touched_and_answers(page):
    live = page.outputs(".hop-touch").last
    words = live.get_by_role("status")
    address = live.get_by_role("slider", name="Address", exact=True)
    page.picture("04-live-trie-before")
    _drag(page.page, address, 150)
    expect(address).not_to_have_attribute("aria-valuenow", "111")
    for _ in range(2):  # the hand may have asked while an answer was still under way
        page.page.evaluate(ANSWERED)
        live.evaluate(REST)
    page.picture("04-live-trie-dragged")
    number = int(address.get_attribute("aria-valuenow"))
    expect(words).to_contain_text(f"Address {number:08b}")
    address.focus()
    page.page.keyboard.press("ArrowRight")
    expect(words).to_contain_text(f"Address {number + 1:08b}")
    route = live.get_by_role("button", name="Route 11001 to Gull")
    expect(route).to_have_attribute("aria-pressed", "false")
    route.click()
    expect(words).to_contain_text("Inserted 11001: 4 nodes made.")
    expect(route).to_have_attribute("aria-pressed", "true")
    page.picture("04-live-trie-inserted")
    route.focus()
    page.page.keyboard.press("Space")
    expect(words).to_contain_text("Withdrew 11001: 4 nodes cut off.")
    typed = live.get_by_role("textbox", name="Address")
    _type(page.page, typed, "2.7")
    expect(live.get_by_role("alert")).to_contain_text("2.7 is not a whole number.")
    _type(page.page, typed, "0xC9")
    expect(live.get_by_role("alert")).to_be_empty()
    expect(words).to_contain_text("Address 11001001")
    assert page.errors == []


def _type(page, field, text):
    field.click()
    page.keyboard.press("Control+a")
    page.keyboard.insert_text(text)
    page.keyboard.press("Enter")


def _drag(page, handle, far):
    handle.scroll_into_view_if_needed()
    box = handle.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + 8
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + far, y, steps=8)
    page.mouse.up()
    page.evaluate(ANSWERED)  # what the hand has asked on its way must not come after the next thing


@of_unit("06")
def test_the_live_journey_is_guessed_played_and_taken_step_by_step(page):
    live = page.outputs(".hop-touch").first
    words, picture = live.get_by_role("status"), live.locator("svg.hop-figure")
    expect(words).to_contain_text("Where does its way on the fast path end?")
    live.get_by_label("Packet", exact=True).select_option(label="too large")
    expect(picture).to_contain_text("1,042")
    live.get_by_role("button", name="Show the answer").click()
    expect(live.get_by_role("alert")).to_contain_text("Guess first.")
    live.get_by_role("button", name="It ends in validate").click()
    expect(picture).to_contain_text("your guess")
    live.get_by_role("button", name="Show the answer").focus()
    page.page.keyboard.press("Enter")
    live.get_by_label("Speed", exact=True).select_option(label="fast")
    expect(live).to_contain_text("step 11 of 11", timeout=RUN_S * 1000)  # it plays by itself
    expect(picture).to_contain_text("ends here")
    step = live.get_by_role("slider", name="Step")
    step.focus()
    page.page.keyboard.press("Home")
    expect(picture).to_contain_text("the packet has just arrived")
    for _ in range(5):
        page.page.keyboard.press("ArrowRight")
    expect(picture).to_contain_text("slow path (a part of the packet)")
    expect(step).to_have_attribute("aria-valuetext", re.compile("step 6 of 11: North Pier"))
    assert {"586", "490"} <= set(picture.locator("text").all_text_contents())
    live.scroll_into_view_if_needed()
    page.picture("06-live-journey")
    live.get_by_label("Own stage", exact=True).select_option(label="no_boats behind validate")
    expect(words).to_contain_text("Where does its way on the fast path end?")
    expect(picture).not_to_contain_text("your guess")
    assert page.errors == []


@of_unit("05")
def test_the_live_ladder_is_guessed_played_and_an_answer_dragged_off_its_way(page):
    live = page.outputs(".hop-touch").first
    words, picture = live.get_by_role("status"), live.locator("svg.hop-figure")
    expect(words).to_contain_text("Whose hardware address")
    live.get_by_role("button", name="Show the answer").click()
    expect(live.get_by_role("alert")).to_contain_text("Guess first.")
    live.get_by_role("button", name="Plover", exact=True).click()
    expect(picture).to_contain_text("your guess")
    page.picture("05-live-ladder-guessed")
    live.get_by_role("button", name="Show the answer").click()
    live.get_by_label("Speed", exact=True).select_option(label="fast")
    expect(live).to_contain_text("step 13 of 13", timeout=RUN_S * 1000)  # it plays by itself
    expect(picture).to_contain_text("Ticket Office has its answer")
    page.picture("05-live-ladder")
    _drag(page.page, live.get_by_role("slider", name="Answer 1 of Plover"), 100)
    expect(picture).to_contain_text("lost")
    expect(live).to_contain_text("step 15 of 15")
    for number in (2, 3):
        live.get_by_role("slider", name=f"Answer {number} of Plover").focus()
        page.page.keyboard.press("ArrowRight")
        expect(live.get_by_role("slider", name=f"Answer {number} of Plover")).to_have_attribute(
            "aria-valuetext", "is lost"
        )
    expect(picture).to_contain_text("host unreachable")
    live.scroll_into_view_if_needed()
    page.picture("05-live-ladder-lost")
    live.get_by_role("button", name="Let all arrive").click()
    expect(live).to_contain_text("step 13 of 13")
    assert page.errors == []


@of_unit("08")
def test_the_live_wait_is_guessed_dragged_and_made_regular(page):
    live = page.outputs(".hop-touch").first
    words, picture = live.get_by_role("status"), live.locator("svg")
    live.scroll_into_view_if_needed()
    page.picture("08-live-wait-before")
    live.get_by_role("button", name="Show the answer").click()
    expect(live.get_by_role("alert")).to_contain_text("Guess first.")
    live.get_by_role("button", name="Guess 3 packet times").click()
    page.page.keyboard.press("ArrowUp")
    page.page.keyboard.press("Space")
    expect(picture).to_contain_text("your guess: 4")
    expect(picture).not_to_contain_text("theory")
    live.get_by_role("button", name="Show the answer").click()
    expect(picture).to_contain_text("theory 9.00")
    expect(words).to_contain_text("Your guess: 4. The answer:", timeout=RUN_S * 1000)
    expect(picture).to_contain_text("1,000,000 packets", timeout=RUN_S * 1000)  # it has played
    page.picture("08-live-wait")
    _drag(page.page, live.get_by_role("slider", name="Load of the line"), -100)
    expect(words).not_to_contain_text("load 90 %")
    _type(page.page, live.get_by_role("textbox", name="Load, 5 to 95 %"), "95")
    live.get_by_label("Sizes", exact=True).select_option(label="all alike")
    expect(picture).to_contain_text("theory 9.50")
    live.get_by_label("Packets come", exact=True).select_option(label="on a clock")
    expect(picture).to_contain_text("measured 0.00 ± 0.00", timeout=RUN_S * 1000)
    expect(picture).to_contain_text("a: at random, exponential")
    page.picture("08-live-wait-on-a-clock")
    assert page.errors == []


@of_unit("10")
def test_the_live_buffer_is_guessed_dragged_and_put_in_step(page):
    live = page.outputs(".hop-touch").first
    words = live.get_by_role("status")
    page.picture("10-live-buffer-before")
    live.get_by_role("button", name="Show the answer").click()
    expect(live.get_by_role("alert")).to_contain_text("Guess first.")
    _drag(page.page, live.get_by_role("slider", name="Your guess: wall of the buffer"), -100)
    expect(words).to_contain_text("Your guess:")
    live.get_by_role("button", name="Show the answer").click()
    expect(words).to_contain_text("From 4 runs of 60 s", timeout=RUN_S * 1000)
    expect(words).to_contain_text("The answer:")
    page.picture("10-live-buffer")
    wall = live.get_by_role("slider", name="Wall of the buffer", exact=True)
    size = int(wall.get_attribute("aria-valuenow"))
    wall.focus()
    for _ in range(5):
        page.page.keyboard.press("ArrowRight")
    expect(words).to_contain_text(f"Buffer {size + 5}:")
    step = live.get_by_role("button", name="All flows in step")
    step.click()
    _type(page.page, live.get_by_role("textbox", name="Buffer, 0 to 300"), "50")
    expect(step).to_have_attribute("aria-pressed", "true")
    runs = [sharp_run(Sharing(25, 0), 50, seed) for seed in range(SHARP.seeds)]
    use = measure_sharing(50, runs).utilisation.mean
    expect(words).to_contain_text(
        re.compile(rf"Buffer 50: the line is used to {100 * use:.2f} ±"), timeout=RUN_S * 1000
    )
    expect(live.locator("svg")).to_contain_text("a: 25 flows, 60 ± 30 ms")
    live.get_by_role("button", name="Play").click()
    page.picture("10-live-buffer-in-step")
    live.get_by_role("button", name="Pause").click()
    assert page.errors == []


@of_unit("11")
def test_the_live_loss_is_guessed_dragged_and_a_packet_taken_out(page):
    live = page.outputs(".hop-touch").first
    words, picture = live.get_by_role("status"), live.locator("svg")
    live.scroll_into_view_if_needed()
    page.picture("11-live-loss-before")
    live.get_by_role("button", name="Show the answer").click()
    expect(live.get_by_role("alert")).to_contain_text("Guess first.")
    live.get_by_role("button", name="Guess 0.2 Mbit/s").click()
    page.page.keyboard.press("ArrowUp")
    page.page.keyboard.press("Space")
    expect(picture).to_contain_text("your guess: 0.5")
    expect(picture).not_to_contain_text("law")
    live.get_by_role("button", name="Show the answer").click()
    expect(picture).to_contain_text("square-root law 2.45")
    expect(words).to_contain_text("Your guess: 0.5. The answer: 1.97.", timeout=RUN_S * 1000)
    page.picture("11-live-loss")
    _drag(page.page, live.get_by_role("slider", name="A packet that is lost besides"), 300)
    expect(words).to_contain_text("have been sent by the end")
    expect(picture).to_contain_text("have been sent by the end", timeout=RUN_S * 1000)
    page.picture("11-live-loss-one-more")
    _drag(page.page, live.get_by_role("slider", name="One packet is lost in"), 100)
    expect(words).not_to_contain_text("One packet in 100 is lost:")
    _type(page.page, live.get_by_role("textbox", name="One in, 5 to 100,000"), "20")
    live.get_by_label("Lost", exact=True).select_option(label="at random")
    expect(picture).to_contain_text("95 % interval of 5 runs", timeout=RUN_S * 1000)
    expect(picture).to_contain_text("before: on a clock, each acknowledged")
    page.picture("11-live-loss-at-random")
    assert page.errors == []


@of_unit("09")
def test_the_live_switch_is_guessed_played_and_takes_turns(page):
    live = page.outputs(".hop-touch").first
    words, picture = live.get_by_role("status"), live.locator("svg")
    live.scroll_into_view_if_needed()
    live.get_by_role("button", name="Show the answer").click()
    expect(live.get_by_role("alert")).to_contain_text("Guess first.")
    live.get_by_role("button", name="Guess 80 %").click()
    page.page.keyboard.press("ArrowDown")
    page.page.keyboard.press("Space")
    expect(picture).to_contain_text("your guess: 70 %")
    expect(picture).not_to_contain_text("58.6 %")
    page.picture("09-live-switch-before")
    live.get_by_role("button", name="Show the answer").click()
    expect(words).to_contain_text("Your guess: 70. The answer: 65.5.")
    expect(picture).to_contain_text("58.6 %")
    step = live.get_by_role("slider", name="Step")
    expect(step).to_be_visible(timeout=RUN_S * 1000)  # the long runs are done
    step.focus()
    page.page.keyboard.press("End")
    expect(picture).to_contain_text("16 ports carry 60.")
    page.picture("09-live-switch")
    live.get_by_label("Cells wait in", exact=True).select_option(
        label="a line for each output, in turn"
    )
    expect(picture).to_contain_text("outputs grant", timeout=RUN_S * 1000)  # it plays
    step.focus()
    page.page.keyboard.press("End")
    expect(picture).to_contain_text("in turn: 16 ports carry 9")
    page.picture("09-live-switch-in-turn")
    assert page.errors == []


@of_unit("07")
def test_the_live_map_is_guessed_played_and_cut(page):
    live = page.outputs(".hop-touch").first
    words, picture = live.get_by_role("status"), live.locator("svg")
    live.scroll_into_view_if_needed()
    page.picture("07-live-map-before")
    live.get_by_role("button", name="Show the answer").click()
    expect(live.get_by_role("alert")).to_contain_text("Guess first.")
    _drag(page.page, live.get_by_role("slider", name="Your guess"), 60)
    expect(picture).to_contain_text("your guess:")
    expect(picture).not_to_contain_text("until 16.5 s")
    live.get_by_role("button", name="Show the answer").click()
    expect(words).to_contain_text("The answer: 16.5 s.")
    expect(picture).to_contain_text("246 lost, until 16.5 s", timeout=RUN_S * 1000)  # it has played
    page.picture("07-live-map")
    live.get_by_role("button", name="distance vector: table of Sandpiper").click()
    expect(picture).to_contain_text("Table of Sandpiper")
    live.get_by_label("Packets to", exact=True).select_option(label="Plover Bridge Screen")
    expect(picture).to_contain_text("no more news", timeout=RUN_S * 1000)
    live.get_by_role("button", name="link state: line North Pier - Plover").press("Space")
    expect(picture).to_contain_text("no way is left", timeout=RUN_S * 1000)
    page.picture("07-live-map-cut-off")
    assert page.errors == []


@of_unit("01")
def test_a_student_who_gets_it_wrong_is_told_and_then_earns_the_points(page):
    page.write("def read_word", (
        "def read_word(data, offset):\n    if not 0 <= offset < len(data) - 1: raise ValueError\n"
        "    return data[offset] + data[offset + 1] * 256"
    ))  # fmt: skip
    check = page.cell_with('mark("1.1")')
    check.locator(".cm-content").click()
    page.page.keyboard.press("Shift+Enter")
    expect(check).to_contain_text("It looks as if", timeout=RUN_S * 1000)
    check.scroll_into_view_if_needed()
    page.picture("01-told-what-is-wrong")
    page.write("def read_word", model_answers(UNITS[0])["answer-1-1"])
    check.locator(".cm-content").click()
    page.page.keyboard.press("Shift+Enter")
    expect(check).to_contain_text(re.compile("Exercise 1.1 · .* · right"), timeout=RUN_S * 1000)
    page.picture("01-marked-right")
    assert page.errors == []
