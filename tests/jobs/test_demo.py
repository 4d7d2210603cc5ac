"""The demo shop's story can be told, and its record is sound."""

import re
from datetime import date

import pytest
from django.conf import settings

from jobs.demo import FOLDER, Story
from jobs.models import Report, Ticket
from jobs.photos import store
from jobs.record.verify import faults
from tests.needs import needs

pytestmark = [pytest.mark.django_db, needs("pango")]


@pytest.fixture
def told():
    """The whole story, told as on a Monday."""
    Story(today=date(2026, 3, 2)).tell()


def test_the_demo_shop_is_whole(told):
    states = set(Ticket.objects.values_list("state", flat=True))
    assert states == {"booked", "in_the_bay", "waiting", "on_trial", "ready", "handed_back"}
    assert [str(fault) for fault in faults()] == []
    for report in Report.objects.all():
        pdf = store.original_path(settings.PHOTO_FOLDER, report.pdf_id).read_bytes()
        assert pdf.startswith(b"%PDF")


def test_a_moment_that_is_none_is_refused():
    with pytest.raises(ValueError, match="no moment"):
        Story().when("yesterday")


def test_every_picture_is_named_in_the_story_and_every_named_picture_exists():
    text = (FOLDER / "story.toml").read_text("utf-8")
    named = set(re.findall(r'file = "([^"]+)"', text))
    there = {p.name for p in (FOLDER / "pictures").iterdir() if p.suffix in {".jpg", ".heic"}}
    assert named == there
