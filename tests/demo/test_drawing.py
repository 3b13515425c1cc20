"""The demo's pictures are drawn by the project itself, the same each time."""

from io import BytesIO

import pytest
from PIL import Image

from builds.demo.drawing import picture
from builds.demo.fill import JOBS
from builds.demo.shapes import SHAPES
from builds.intake.wanted_views import DEFAULT_VIEWS

SMALL = (200, 150)
VIEWS = [code for code, _label, _stage in DEFAULT_VIEWS]


@pytest.mark.parametrize("view", VIEWS)
def test_view_is_a_jpeg_with_something_on_it(view: str) -> None:
    drawn = Image.open(BytesIO(picture("Weir House", view, size=SMALL)))
    assert (drawn.format, drawn.size) == ("JPEG", SMALL)
    assert len(set(drawn.convert("L").crop((20, 30, 180, 120)).tobytes())) > 40


def test_same_words_give_the_same_bytes() -> None:
    assert picture("Heron two-piece", "side-a", size=SMALL) == picture(
        "Heron two-piece", "side-a", size=SMALL
    )


def test_each_hilt_looks_different() -> None:
    drawn = {picture(name, "side-a", size=SMALL) for name in SHAPES}
    assert len(drawn) == len(SHAPES)


def test_every_hilt_that_comes_has_a_shape() -> None:
    assert {job.hilt for job in JOBS if job.came is not None} <= set(SHAPES)


def test_wet_box_looks_different_from_a_sound_one() -> None:
    assert picture("Osier", "box-shut", "wet", SMALL) != picture("Osier", "box-shut", size=SMALL)
