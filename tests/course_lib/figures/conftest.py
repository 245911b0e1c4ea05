"""What the tests of figures share: a page to look at them in."""

import pytest


@pytest.fixture(scope="module")
def page(browser):
    """Give an empty page, as wide as a workbook and high enough for any figure."""
    page = browser.new_page(viewport={"width": 1000, "height": 1600})
    yield page
    page.close()
