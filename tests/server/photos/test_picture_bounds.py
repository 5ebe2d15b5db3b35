"""A picture may take so much time and memory and no more: its decoder is a process of its own.

Cause: a progressive JPEG of many scans held one of two turns for minutes to hours, and a PNG of 781,000 x 64 was a 500.
"""

import time

import pytest
from PIL import Image

from server.photos import pictures
from server.web.errors import Problem
from tests.server.phones import problem
from tests.server.pictures_to_send import attach, encoded, name_of


@pytest.fixture
def bounds(monkeypatch):
    """Set bounds for the processes that begin from now on; end them afterwards."""

    def set_bounds(**bounds):
        pictures._end_all()
        for name, bound in bounds.items():
            monkeypatch.setattr(pictures, name, bound)

    yield set_bounds
    pictures._end_all()


def of_many_scans(number):
    """A progressive JPEG whose last scan comes so many times more: each goes through all of the picture."""
    content = encoded(Image.new("RGB", (3_000, 2_000), "grey"), progressive=True)
    last = content.rindex(b"\xff\xda")
    return content[:-2] + content[last:-2] * number + b"\xff\xd9"


@pytest.mark.full
def test_a_picture_of_many_scans_ends_within_its_time_and_the_next_is_taken(bounds):
    bounds(COMPUTING_S=2)
    bomb, begun = of_many_scans(2_000), time.monotonic()
    assert len(bomb) < 20_000_000
    with pytest.raises(Problem, match="takes longer than a picture may") as refusal:
        pictures.re_encode(bomb)
    assert (refusal.value.status, refusal.value.code) == (422, "photo-format")
    assert time.monotonic() - begun < 60
    assert pictures.re_encode(encoded()).width == 64


def test_of_scans_that_take_no_time_a_picture_may_have_many():
    assert pictures.re_encode(of_many_scans(3)).height == 2_000


def test_a_decoder_that_never_answers_is_ended_by_the_clock(bounds):
    bounds(CLOCK_S=0.5)
    with pytest.raises(Problem, match="takes longer"):
        pictures.re_encode(of_many_scans(2_000))


def test_a_picture_that_takes_too_much_memory_is_refused(bounds):
    pytest.importorskip("resource")
    bounds(MEMORY=300_000_000)
    with pytest.raises(Problem, match="memory"):
        pictures.re_encode(encoded(Image.new("RGB", (7_000, 7_000))))
    assert pictures.re_encode(encoded()).width == 64


def test_a_decoder_that_somebody_has_ended_is_no_reason_to_refuse():
    pictures.re_encode(encoded())
    for process in pictures._idle:
        process.kill()
        process.wait(10)
    assert pictures.re_encode(encoded()).width == 64


def test_a_very_long_picture_is_refused_in_words(phone, job):
    content = encoded(Image.new("1", (781_000, 64)), format="PNG")
    attach(phone, job, content)
    answer = phone.put_photo(name_of(content), content)
    assert (answer.status_code, problem(answer)) == (422, "photo-format")
    assert "a side of 781000 pixels is longer than the 65500 that a JPEG may have" in answer.text
