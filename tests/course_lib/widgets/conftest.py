"""Widgets are tried in strict mode: a callback that fails fails the test."""

import pytest


@pytest.fixture(autouse=True)
def strict(monkeypatch):
    monkeypatch.setenv("HOP_BY_HOP_STRICT", "1")
