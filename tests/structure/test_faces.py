"""The face of a chapter hands on what students type, and every name on it can be had."""

import importlib
import subprocess
import sys
from pathlib import Path

import pytest

import course_lib
from structure.imports import modules

LIBRARY = Path(course_lib.__file__).parent
FACES = [name for name, path in modules("course_lib").items()
         if path.name == "__init__.py" and "lazy_loader" in path.read_text()]  # fmt: skip


def test_most_chapters_have_a_face():
    assert len(FACES) > 15


@pytest.mark.parametrize("name", FACES)
def test_every_name_on_a_face_can_be_had(name):
    face = importlib.import_module(name)
    assert face.__all__
    assert [one for one in face.__all__ if getattr(face, one, None) is None] == []
    assert set(face.__all__) <= set(dir(face))


@pytest.mark.parametrize("name", FACES)
def test_no_name_on_a_face_is_that_of_a_module_behind_it(name):
    """`from chapter import thing` would give the module if somebody had imported it before."""
    folder = modules("course_lib")[name].parent
    behind = {path.stem for path in folder.iterdir() if path.suffix == ".py" or path.is_dir()}
    assert set(importlib.import_module(name).__all__) & behind == set()


@pytest.mark.parametrize("name", FACES)
def test_a_name_on_a_face_is_that_of_no_other_face(name):
    """Whoever meets a name in a workbook must not have to ask which of two things it is."""
    own = set(importlib.import_module(name).__all__)
    others = {one: set(importlib.import_module(one).__all__) for one in FACES if one != name}
    assert {one: own & names for one, names in others.items() if own & names} == {}


def test_importing_all_faces_loads_nothing_behind_them():
    program = f"import sys, {', '.join(FACES)}; print(*sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    loaded = {one for one in done.stdout.split() if one.startswith("course_lib")}
    assert loaded == {"course_lib", *FACES} | {name.rpartition(".")[0] for name in FACES}
