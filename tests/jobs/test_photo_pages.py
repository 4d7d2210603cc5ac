"""Adding photos at the car, looking at one, and what leaves the shop's computer of it."""

from __future__ import annotations

import hashlib
import io

import pytest
from django.urls import reverse
from PIL import Image

from jobs.actions.photos import add_photos
from jobs.actions.tickets import open_ticket
from jobs.models import Entry, Photo
from jobs.photos import store
from jobs.uploads import SizeLimit
from tests.jobs.pictures import picture, strap_test, telling_picture, upload

pytestmark = pytest.mark.django_db

KEY = "c" * 32


def address(ticket) -> str:
    return reverse("photo-add", args=[ticket.number])


def send(client, ticket, *files, **typed):
    data = {"photos": list(files), "subject": "leak", "in_report": "on", "client_key": KEY} | typed
    return client.post(address(ticket), data)


def text_of(answer) -> str:
    return " ".join(answer.content.decode().split())


@pytest.fixture
def photo(ticket, owner) -> Photo:
    """A photo with time and place in it."""
    return add_photos(
        ticket=ticket,
        by=owner,
        uploads=[upload(telling_picture())],
        subject="connector",
        caption="Green on pin 2",
    ).photos.get()


# --- adding ----------------------------------------------------------------------------------


def test_several_at_once_go_to_the_ticket_at_their_entry(as_technician, ticket):
    answer = send(as_technician, ticket, upload(), upload(picture("PNG", "red")))
    entry = Entry.objects.get(kind="photos")
    assert answer.status_code == 303
    assert answer.url == f"{ticket.get_absolute_url()}#e{entry.seq}"
    assert entry.photos.count() == 2


def test_the_control_takes_several_from_camera_or_gallery(as_technician, ticket):
    page = text_of(as_technician.get(address(ticket)))
    assert 'accept="image/jpeg,image/png,image/webp,image/heic,image/heif"' in page
    assert "multiple" in page
    assert "capture" not in page


def test_the_counter_may_add_photos_too(as_counter, ticket):
    assert send(as_counter, ticket, upload()).status_code == 303


def test_a_stranger_is_sent_to_sign_in(client, ticket):
    assert client.get(address(ticket)).url.startswith("/sign-in/")


def test_a_link_from_a_test_says_what_the_photo_belongs_to(as_technician, ticket, technician):
    entry = strap_test(ticket, technician)
    page = text_of(as_technician.get(f"{address(ticket)}?test={entry.seq}"))
    assert f'<option value="run-{entry.run_link.run_id}" selected>' in page


def test_a_subject_in_the_link_is_chosen(as_technician, ticket):
    page = text_of(as_technician.get(f"{address(ticket)}?subject=plate"))
    assert 'value="plate" id="id_subject_9" checked' in page


@pytest.mark.parametrize("query", ["test=x", "test=99999999999999", "subject=nothing", "swap=1"])
def test_a_link_with_nonsense_shows_the_plain_form(as_technician, ticket, query):
    assert as_technician.get(f"{address(ticket)}?{query}").status_code == 200


def test_it_is_tied_to_the_test_that_was_chosen(as_technician, ticket, technician):
    run = strap_test(ticket, technician).run_link.run
    send(as_technician, ticket, upload(), belongs=f"run-{run.pk}")
    assert Photo.objects.get().run == run


def test_it_is_tied_to_the_complaint_that_was_chosen(as_technician, ticket):
    complaint = ticket.complaints.get()
    send(as_technician, ticket, upload(), belongs=f"complaint-{complaint.uid}")
    assert Photo.objects.get().complaint_uid == complaint.uid


def test_what_belongs_to_another_ticket_is_no_choice(as_technician, ticket, owner, van, customer):
    other = open_ticket(car=van, customer=customer, by=owner)
    run = strap_test(other, owner).run_link.run
    assert send(as_technician, ticket, upload(), belongs=f"run-{run.pk}").status_code == 422


def test_a_plug_says_of_which_cylinder(as_technician, ticket):
    answer = send(as_technician, ticket, upload(), subject="spark_plug", caption="Wet")
    assert answer.status_code == 422
    assert "Say which cylinder" in text_of(answer)
    assert 'value="Wet"' in text_of(answer)


def test_a_plugs_cylinder_is_kept(as_technician, ticket):
    send(as_technician, ticket, upload(), subject="spark_plug", place="c3")
    assert Photo.objects.get().place == "c3"


def test_a_cylinder_that_is_not_known_is_an_answer(as_technician, ticket):
    send(as_technician, ticket, upload(), subject="spark_plug", place="unknown")
    assert Photo.objects.get().place == ""


def test_a_cylinder_is_nothing_to_a_leak(as_technician, ticket):
    send(as_technician, ticket, upload(), subject="leak", place="c3")
    assert Photo.objects.get().place == ""


def test_without_a_photo_the_caption_stays(as_technician, ticket):
    answer = as_technician.post(address(ticket), {"subject": "leak", "caption": "Under the pump"})
    assert answer.status_code == 422
    assert "Choose at least one photo." in text_of(answer)
    assert 'value="Under the pump"' in text_of(answer)


@pytest.mark.parametrize(
    ("data", "status", "sentence"),
    [
        (b"", 400, "empty or not a photo"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>" * 9, 415, "Only JPEG, PNG, WebP and HEIC"),
        (picture(size=(900, 700))[:-400], 400, "arrived incomplete"),
        (b"\xff\xd8\xff\xe0" + bytes(25_100_000), 413, "more than the limit of 25 MB"),
    ],
)
def test_a_refused_photo_says_why_and_what_was_typed_stays(
    as_technician, ticket, data, status, sentence
):
    answer = send(as_technician, ticket, upload(data), caption="Under the pump", place="c2")
    assert answer.status_code == status
    assert sentence in text_of(answer)
    assert 'value="Under the pump"' in text_of(answer)
    assert not Photo.objects.exists()


def test_the_good_ones_are_saved_and_the_refused_one_is_named(as_technician, ticket):
    answer = send(as_technician, ticket, upload(), upload(b"PK\x03\x04" * 99, name="notes.zip"))
    assert answer.status_code == 303
    assert "Not taken: notes.zip" in text_of(as_technician.get(address(ticket)))
    assert Photo.objects.count() == 1


def test_a_full_disk_is_said_and_nothing_is_half_saved(as_technician, ticket, monkeypatch):
    def receive(*args, **options):
        raise store.StorageFull("No space left on device")

    monkeypatch.setattr(store, "receive", receive)
    answer = send(as_technician, ticket, upload(), caption="Under the pump")
    assert answer.status_code == 507
    assert "the storage is full" in text_of(answer)
    assert 'value="Under the pump"' in text_of(answer)
    assert not Photo.objects.exists()


def test_sent_twice_it_makes_one_entry(as_technician, ticket):
    first, second = (send(as_technician, ticket, upload()) for _ in range(2))
    assert first.url == second.url
    assert Entry.objects.filter(kind="photos").count() == 1


def test_for_the_next_thing_the_form_comes_back_with_the_same_subject(as_technician, ticket):
    complaint = ticket.complaints.get()
    answer = send(
        as_technician, ticket, upload(), another="1", belongs=f"complaint-{complaint.uid}"
    )
    assert answer.url == f"{address(ticket)}?subject=leak&complaint={complaint.entry.seq}"


@pytest.mark.parametrize(
    "name", ["../../etc/passwd", "..\\x.jpg", "CON", "a\u202egpj.exe", "x" * 300, "<img onerror=1>"]
)
def test_a_files_name_is_never_a_path(as_technician, ticket, name, settings):
    answer = send(as_technician, ticket, upload(name=name))
    assert answer.status_code == 303
    stored = store.original_path(settings.PHOTO_FOLDER, Photo.objects.get().blob_id)
    assert stored.is_file()


def test_a_name_with_markup_is_shown_as_text(as_technician, ticket):
    send(as_technician, ticket, upload(), upload(b"x" * 99, name="<b>bold.jpg"))
    assert "&lt;b&gt;bold.jpg" in text_of(as_technician.get(address(ticket)))


def test_the_phones_own_time_is_kept_as_a_claim(as_technician, ticket):
    send(as_technician, ticket, upload(), device_at="2026-03-14T09:26:53+01:00")
    assert Entry.objects.get(kind="photos").device_at.isoformat() == "2026-03-14T08:26:53+00:00"


@pytest.mark.parametrize("claimed", ["yesterday", "2026-03-14T09:26:53", "2026-02-30T25:61+01:00"])
def test_a_claim_that_is_no_time_is_dropped(as_technician, ticket, claimed):
    send(as_technician, ticket, upload(), device_at=claimed)
    assert Entry.objects.get(kind="photos").device_at is None


def test_of_a_file_without_end_no_more_than_the_limit_is_passed_on():
    limit = SizeLimit()
    limit.new_file("photos", "x", "image/jpeg", None)
    chunk = bytes(64 * 1024)
    passed_on = sum(len(limit.receive_data_chunk(chunk, 0) or b"") for _ in range(2_000))
    assert 25_000_000 < passed_on <= 25_000_000 + len(chunk)


def ask_json(client, ticket, *files, **typed):
    data = {"photos": list(files), "subject": "leak", "client_key": KEY} | typed
    return client.post(address(ticket), data, headers={"accept": "application/json"})


def test_a_browser_that_keeps_photos_is_told_where_they_went(as_technician, ticket):
    answer = ask_json(as_technician, ticket, upload())
    seq = Entry.objects.get(kind="photos").seq
    assert answer.status_code == 201
    assert answer.json() == {"saved": f"{ticket.get_absolute_url()}#e{seq}"}


def test_a_browser_that_keeps_photos_is_told_why_not(as_technician, ticket):
    answer = ask_json(as_technician, ticket, upload(b"x" * 99))
    assert answer.status_code == 415
    assert "Only JPEG" in answer.json()["refused"][0]


# --- one photo -------------------------------------------------------------------------------


def test_its_page_says_what_is_known_of_it(as_technician, ticket, photo):
    page = text_of(as_technician.get(reverse("photo", args=[ticket.number, photo.frame])))
    assert "Green on pin 2" in page
    assert photo.blob_id in page
    assert "14 March 2026, 09:26 by the camera’s own clock, which we can’t check" in page
    assert "Location data was in it: not shown, not printed" in page
    assert reverse("entry-withdraw", args=[ticket.number, photo.entry.seq]) in page


@pytest.mark.parametrize("size", ["thumb", "screen", "print"])
def test_what_is_shown_is_our_own_copy_without_the_cameras_words(
    as_technician, ticket, photo, size
):
    answer = as_technician.get(reverse("photo-file", args=[ticket.number, photo.frame, size]))
    shown = b"".join(answer.streaming_content)
    assert answer["Content-Type"] == "image/jpeg"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Content-Security-Policy"] == "default-src 'none'; sandbox"
    assert "no-store" in answer["Cache-Control"]
    assert not Image.open(io.BytesIO(shown)).getexif()


def test_a_copy_that_is_gone_is_made_again(as_technician, ticket, photo, settings):
    store.copy_path(settings.PHOTO_FOLDER, photo.blob_id, "thumb").unlink()
    answer = as_technician.get(reverse("photo-file", args=[ticket.number, photo.frame, "thumb"]))
    assert answer.status_code == 200


def test_the_original_is_handed_out_as_a_sealed_file(as_technician, ticket, photo):
    answer = as_technician.get(reverse("photo-original", args=[ticket.number, photo.frame]))
    assert hashlib.sha256(b"".join(answer.streaming_content)).hexdigest() == photo.blob_id
    assert answer["Content-Disposition"] == (
        f'attachment; filename="ticket-{ticket.shown_number}-photo-{photo.frame}.jpg"'
    )
    assert answer["Content-Security-Policy"] == "default-src 'none'; sandbox"


def test_an_original_that_is_gone_is_not_found_and_logged(
    as_technician, ticket, photo, settings, caplog
):
    store.original_path(settings.PHOTO_FOLDER, photo.blob_id).unlink()
    answer = as_technician.get(reverse("photo-original", args=[ticket.number, photo.frame]))
    assert answer.status_code == 404
    assert f"photo {photo.frame} of ticket" in caplog.text


@pytest.mark.parametrize(
    "frame", ["0a", "-1a", "1e3", "9223372036854775808a", "١a", "1'", "a", "99999z", "..", "1A"]
)
def test_a_frame_that_is_none_is_not_found(as_technician, ticket, photo, frame):
    for name in ("photo", "photo-original"):
        assert as_technician.get(reverse(name, args=[ticket.number, frame])).status_code == 404


def test_a_size_that_is_none_is_not_found(as_technician, ticket, photo):
    where = reverse("photo-file", args=[ticket.number, photo.frame, "huge"])
    assert as_technician.get(where).status_code == 404


def test_a_photo_is_not_found_under_another_ticket(
    as_technician, ticket, photo, owner, van, customer
):
    other = open_ticket(car=van, customer=customer, by=owner)
    for name, rest in (("photo", []), ("photo-original", []), ("photo-file", ["thumb"])):
        where = reverse(name, args=[other.number, photo.frame, *rest])
        assert as_technician.get(where).status_code == 404


def test_strangers_see_no_photo(client, ticket, photo):
    for name, rest in (("photo", []), ("photo-original", []), ("photo-file", ["thumb"])):
        answer = client.get(reverse(name, args=[ticket.number, photo.frame, *rest]))
        assert answer.url.startswith("/sign-in/")


def test_it_can_be_left_out_of_the_report_and_taken_in_again(as_technician, ticket, photo):
    where = reverse("photo-choice", args=[ticket.number, photo.frame])
    for wanted, held in (("no", False), ("yes", True)):
        answer = as_technician.post(where, {"in_report": wanted})
        assert answer.status_code == 303
        assert Photo.objects.get(pk=photo.pk).choice.in_report is held


def test_looking_changes_no_choice(as_technician, ticket, photo):
    where = reverse("photo-choice", args=[ticket.number, photo.frame])
    assert as_technician.get(where).status_code == 405


# --- the shop's logo -------------------------------------------------------------------------


def test_the_owner_gives_the_shop_a_logo(as_owner, shop):
    assert as_owner.get("/shop/logo/").status_code == 404
    answer = as_owner.post("/shop/logo/change/", {"logo": upload(picture("PNG"))})
    assert answer.status_code == 303
    assert as_owner.get("/shop/logo/")["Content-Type"] == "image/jpeg"


def test_a_logo_that_is_no_picture_leaves_the_old_one(as_owner, shop):
    as_owner.post("/shop/logo/change/", {"logo": upload(picture("PNG"))})
    as_owner.post("/shop/logo/change/", {"logo": upload(b"<svg/>" * 99)})
    assert as_owner.get("/shop/logo/").status_code == 200


def test_only_the_owner_changes_the_logo(as_technician, shop):
    answer = as_technician.post("/shop/logo/change/", {"logo": upload(picture("PNG"))})
    assert answer.status_code == 403
