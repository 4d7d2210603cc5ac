"""Photos are on disk before the record names them; what is refused takes nothing else with it."""

import hashlib

import pytest

from jobs.actions import photos
from jobs.actions.photos import SomeRefused, TooManyPhotos, add_photos
from jobs.models import Blob, Entry, Photo, PhotoChoice
from jobs.photos import intake, store
from jobs.photos.limits import PHOTO, PhotoLimits
from jobs.photos.refusals import NotAPhoto
from jobs.record.append import EntryRefused
from jobs.record.verify import faults
from tests.jobs.pictures import picture, strap_test, telling_picture, upload

pytestmark = pytest.mark.django_db


def add(ticket, by, *uploads, **how):
    return add_photos(ticket=ticket, by=by, uploads=uploads, **({"subject": "leak"} | how))


def test_the_original_is_kept_bit_for_bit_under_its_hash(ticket, owner, settings):
    sent = telling_picture()
    photo = add(ticket, owner, upload(sent)).photos.get()
    assert photo.blob_id == hashlib.sha256(sent).hexdigest()
    assert store.original_path(settings.PHOTO_FOLDER, photo.blob_id).read_bytes() == sent


def test_no_row_is_written_before_the_file_is_there(ticket, owner, settings, monkeypatch):
    def append(**how):
        for frame in how["data"]["frames"]:
            assert store.original_path(settings.PHOTO_FOLDER, frame["sha256"]).is_file()
        raise EntryRefused("stopped here")

    monkeypatch.setattr(photos, "append", append)
    with pytest.raises(EntryRefused, match="stopped here"):
        add(ticket, owner, upload())
    assert not Blob.objects.exists()


def test_several_are_the_frames_of_one_entry(ticket, owner):
    entry = add(ticket, owner, *[upload(picture(colour=c)) for c in ("red", "green", "blue")])
    assert [photo.frame for photo in entry.photos.all()] == [
        f"{entry.seq}a",
        f"{entry.seq}b",
        f"{entry.seq}c",
    ]


def test_more_than_there_are_letters_stay_in_order(ticket, owner, settings, monkeypatch):
    taken = iter(range(30))

    def take(root, chunks):
        sha256 = f"{next(taken):064x}"
        return intake.TakenPhoto(sha256, 9, "image/jpeg", 4, 3, "", False)

    monkeypatch.setattr(photos.intake, "take", take)
    entry = add(ticket, owner, *[upload() for _ in range(30)])
    assert [photo.blob_id for photo in entry.photos.all()] == [f"{n:064x}" for n in range(30)]


def test_the_same_photo_twice_in_one_sending_is_one_frame(ticket, owner):
    assert add(ticket, owner, upload(), upload()).photos.count() == 1


def test_the_same_photo_in_two_entries_is_one_original(ticket, owner):
    add(ticket, owner, upload())
    add(ticket, owner, upload(), subject="damage")
    assert (Blob.objects.count(), Photo.objects.count()) == (1, 2)


def test_what_is_sent_twice_with_one_key_makes_one_entry(ticket, owner):
    key = "a" * 32
    first, second = (add(ticket, owner, upload(), client_key=key) for _ in range(2))
    assert first.pk == second.pk


def test_a_refused_one_leaves_the_good_ones_saved_and_is_named(ticket, owner):
    with pytest.raises(SomeRefused) as refusal:
        add(
            ticket, owner, upload(), upload(b"<html>" * 99, name="page.jpg"), upload(picture("PNG"))
        )
    assert refusal.value.entry.photos.count() == 2
    assert [one.name for one in refusal.value.refused] == ["page.jpg"]
    assert "Only JPEG" in refusal.value.refused[0].reason


def test_one_alone_is_refused_with_its_own_reason(ticket, owner):
    with pytest.raises(NotAPhoto):
        add(ticket, owner, upload(b"%PDF-1.7 " * 99))
    assert not Photo.objects.exists()


def test_nothing_is_written_where_all_are_refused(ticket, owner):
    before = Entry.objects.count()
    with pytest.raises(SomeRefused) as refusal:
        add(ticket, owner, upload(b"x" * 99), upload(b""))
    assert refusal.value.entry is None
    assert Entry.objects.count() == before


def test_a_full_ticket_takes_no_more(ticket, owner, monkeypatch):
    monkeypatch.setattr(photos, "PHOTO", PhotoLimits(per_ticket=1))
    add(ticket, owner, upload())
    with pytest.raises(TooManyPhotos, match="holds 1 photos already, and at most 1"):
        add(ticket, owner, upload(picture("PNG")))


def test_too_many_at_once_are_refused_before_any_is_stored(ticket, owner, settings):
    with pytest.raises(TooManyPhotos, match="at most 40 in one go"):
        add(ticket, owner, *[upload() for _ in range(PHOTO.per_request + 1)])
    assert not settings.PHOTO_FOLDER.exists()


def test_the_cameras_time_is_kept_as_its_claim_and_location_is_noted(ticket, owner):
    photo = add(ticket, owner, upload(telling_picture())).photos.get()
    assert (photo.claimed_at, photo.had_location) == ("2026-03-14T09:26:53", True)


def test_it_belongs_to_what_it_was_taken_for(ticket, owner):
    run = strap_test(ticket, owner).run_link.run
    photo = add(ticket, owner, upload(), run=run, place="c3").photos.get()
    assert (photo.run, photo.place) == (run, "c3")


def test_the_record_verifies_with_photos_in_it(ticket, owner):
    add(ticket, owner, upload(telling_picture()), upload(), in_report=False)
    assert list(faults()) == []


def test_out_of_the_report_from_the_start(ticket, owner):
    photo = add(ticket, owner, upload(), in_report=False).photos.get()
    assert photo.choice.in_report is False


def test_the_choice_may_change_and_is_no_entry(ticket, owner):
    photo = add(ticket, owner, upload()).photos.get()
    before = Entry.objects.count()
    photos.choose(photo=photo, in_report=False, by=owner)
    photos.choose(photo=photo, in_report=True, position=2, by=owner)
    choice = PhotoChoice.objects.get(photo=photo)
    assert (choice.in_report, choice.position) == (True, 2)
    assert Entry.objects.count() == before


def test_each_by_its_subject_reports_what_was_refused(ticket, owner):
    refused = photos.add_each(
        ticket=ticket,
        by=owner,
        client_key="b" * 32,
        photos={"label": upload(), "old_part": upload(b""), "plate": None},
    )
    assert [subject for subject, _why in refused] == ["old_part"]
    assert [photo.subject for photo in ticket.photos.all()] == ["label"]
