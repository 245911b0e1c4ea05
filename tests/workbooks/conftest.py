"""Tests that look at one unit's workbook in a browser run one after the other, and share it."""

import pytest


@pytest.hookimpl(trylast=True)  # after pytest has sorted them by the place of a parameter
def pytest_collection_modifyitems(items):
    """Sort by unit, and within a unit as the tests stand in the file: what runs comes later."""
    shared = [place for place, item in enumerate(items) if _unit(item)]
    sorted_ = sorted((items[place] for place in shared), key=lambda one: (_unit(one), _line(one)))
    for place, item in zip(shared, sorted_, strict=True):
        items[place] = item


def _unit(item):
    return item.callspec.params.get("blank", "") if hasattr(item, "callspec") else ""


def _line(item):
    return item.function.__code__.co_firstlineno
