"""Photos chosen on a test's form: they go into the record with it, and none is lost before."""

from __future__ import annotations

import re
import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from jobs.models import Blob, Draft, Photo
from tests.jobs.pictures import picture

pytestmark = pytest.mark.django_db


@pytest.fixture
def form(client, technician, ticket):
    """Sends the form of a voltage drop; answers with the response."""
    client.force_login(technician)
    url = reverse("test-new", args=[ticket.number, "voltage_drop"])
    key = uuid.uuid4().hex

    def send(*photos, **fields):
        sent = {
            "client_key": key,
            "given.path": "starter_ground",
            "given.current": "205",
            "path.strap.drop": "0.661",
            "fault_present": "yes",
        } | fields
        return client.post(url, sent | {"photos": list(photos)}, follow=True)

    return send


def photo(name="gauge.jpg", **how):
    return SimpleUploadedFile(name, picture(**how), "image/jpeg")


def waiting(page: str) -> list[str]:
    found = re.search(r'name="photos_waiting" value="([0-9a-f ]+)"', page)
    return found.group(1).split() if found else []


def test_a_photo_goes_into_the_record_with_its_test(form, ticket):
    form(photo())
    (taken,) = Photo.objects.all()
    assert taken.run == ticket.entries.get(kind="test").run_link.run
    assert taken.subject == "gauge_face"


def test_a_photo_sent_with_what_is_refused_waits_and_goes_with_the_next_try(form, ticket):
    page = form(photo(), **{"path.strap.drop": "much"}).content.decode()
    assert not Photo.objects.exists()
    assert "goes with this test" in page
    (sha256,) = waiting(page)
    form(photos_waiting=sha256)
    (taken,) = Photo.objects.all()
    assert (taken.blob_id, taken.run_id is not None) == (sha256, True)


def test_a_photo_waits_with_the_draft_when_the_form_is_left(client, form, ticket, technician):
    client.force_login(technician)
    url = reverse("test-draft", args=[ticket.number, "voltage_drop"])
    client.post(url, {"given.current": "205", "leave": "1", "photos": photo()})
    page = client.get(reverse("test-new", args=[ticket.number, "voltage_drop"])).content.decode()
    assert waiting(page) == [Blob.objects.get().pk]


def test_a_row_more_keeps_the_photo(form):
    page = form(photo(), add="path").content.decode()
    assert len(waiting(page)) == 1


def test_the_same_photo_twice_is_one(form):
    page = form(photo(), photo("again.jpg"), **{"path.strap.drop": "much"}).content.decode()
    assert len(waiting(page)) == 1


def test_what_is_no_photo_is_named_and_stops_nothing(form, ticket):
    page = form(SimpleUploadedFile("x.jpg", b"<html>"), photo()).content.decode()
    assert "Not taken: x.jpg" in page
    assert ticket.entries.filter(kind="test").count() == 1
    assert Photo.objects.count() == 1


def test_a_number_that_is_no_stored_photo_is_ignored(form, ticket):
    form(photos_waiting="0" * 64 + " ../../etc " + "f" * 63)
    assert ticket.entries.filter(kind="test").count() == 1
    assert not Photo.objects.exists()


def test_a_saved_form_sent_again_makes_no_second_photo(form):
    form(photo())
    form(photo())
    assert Photo.objects.count() == 1


def test_the_draft_that_is_kept_while_typing_holds_no_file(client, form, ticket, technician):
    client.force_login(technician)
    page = client.get(reverse("test-new", args=[ticket.number, "voltage_drop"])).content.decode()
    assert 'hx-params="not photos' in page
    form(photo(), **{"path.strap.drop": "much"})
    assert "photos" not in Draft.objects.get().fields


# --- photos of one row ----------------------------------------------------------------------


@pytest.fixture
def look(client, technician, ticket):
    """Sends the form of a look round the car; answers with the response."""
    client.force_login(technician)
    url = reverse("test-new", args=[ticket.number, "look_over"])
    key = uuid.uuid4().hex

    def send(**fields):
        sent = {"client_key": key, "parts.posts.seen": "corroded"} | fields
        return client.post(url, sent, follow=True)

    return send


def test_a_photo_of_a_row_names_its_place(look):
    look(**{"photos.parts.posts": photo()})
    (taken,) = Photo.objects.all()
    assert taken.place == "battery and its clamps"
    assert taken.run.procedure == "look_over"


def test_photos_of_rows_and_of_the_whole_are_told_apart(look):
    look(
        **{
            "photos.parts.posts": photo(colour="red"),
            "photos.parts.belt": photo(colour="blue"),
            "photos": photo(colour="green"),
        }
    )
    assert set(Photo.objects.values_list("place", flat=True)) == {
        "",
        "battery and its clamps",
        "belt",
    }


def test_a_photo_of_a_row_waits_with_it_when_the_form_is_refused(look):
    page = look(**{"photos.parts.posts": photo(), "measured_at": "yesterdayish"})
    assert page.status_code == 422
    text = page.content.decode()
    assert "one stored" in text
    waiting_then = re.search(r'name="photos_waiting" value="([^"]+)"', text).group(1)
    assert waiting_then.endswith("@parts.posts")
    look(photos_waiting=waiting_then)
    assert [taken.place for taken in Photo.objects.all()] == ["battery and its clamps"]


def test_a_row_that_is_none_gives_no_place(look):
    refused = look(**{"photos.parts.posts": photo(), "measured_at": "yesterdayish"})
    (sha256,) = re.findall(r"([0-9a-f]{64})@parts.posts", refused.content.decode())
    look(photos_waiting=f"{sha256}@parts.nowhere")
    assert [taken.place for taken in Photo.objects.all()] == [""]


def test_the_boxes_of_rows_are_not_sent_while_typing(client, technician, ticket):
    client.force_login(technician)
    page = client.get(reverse("test-new", args=[ticket.number, "look_over"])).content.decode()
    sent = re.search(r'hx-params="not ([^"]+)"', page).group(1).split(",")
    assert "photos.parts.posts" in sent
    assert set(re.findall(r'name="(photos\.[^"]+)"', page)) <= set(sent)
