"""The people of the shop: added, changed, deactivated; a lone owner reads nothing of roles."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Person

NEW = {
    "username": "mira", "name": "Mira Stål", "role": "technician",
    "password": "three blue kettles", "again": "three blue kettles",
}  # fmt: skip


def page(answer) -> str:
    return answer.content.decode()


def change(client: Client, person: Person, **typed):
    facts = {"name": person.name, "role": person.role, "is_active": "on"} | typed
    sent = {name: value for name, value in facts.items() if value is not None}
    return client.post(reverse("person-change", args=[person.pk]), sent)


def test_somebody_new_can_sign_in(as_owner):
    answer = as_owner.post(reverse("person-add"), NEW, follow=True)
    assert "Mira Stål can sign in now." in page(answer)
    signed = Client().post("/sign-in/", {"username": "mira", "password": "three blue kettles"})
    assert signed.status_code == 302
    assert Person.objects.get(username="mira").role == "technician"


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"username": "nell"}, "Somebody here has that sign-in name."),
        ({"username": "NELL"}, "Somebody here has that sign-in name."),
        ({"username": ""}, "This field is required."),
        ({"username": "x" * 61}, "at most 60 are taken"),
        ({"username": "mi\u202era"}, "a character that can&#x27;t be seen"),
        ({"name": ""}, "This field is required."),
        ({"name": "a\x00b"}, "unprintable character (U+0000) at position 2"),
        ({"role": "boss"}, "Select a valid choice."),
        ({"role": ""}, "This field is required."),
        ({"again": "something else"}, "The two passwords differ."),
        ({"password": "short", "again": "short"}, "at least 12 characters"),
        ({"password": "mira mira mira", "again": "mira mira mira", "username": "mira mira mira"},
         "too similar"),
    ],
)  # fmt: skip
def test_somebody_new_is_refused_with_the_reason(as_owner, typed, words):
    answer = as_owner.post(reverse("person-add"), NEW | typed)
    assert answer.status_code == 422
    assert words in page(answer)
    assert Person.objects.count() == 1


def test_what_was_typed_stays_but_for_the_password(as_owner):
    text = page(as_owner.post(reverse("person-add"), NEW | {"again": "else"}))
    assert 'value="Mira Stål"' in text
    assert "three blue kettles" not in text


def test_a_lone_owner_reads_nothing_of_roles(as_owner, owner):
    for url in (reverse("people"), reverse("person-change", args=[owner.pk]), reverse("help")):
        text = page(as_owner.get(url))
        for word in ("Role", "technician", "counter", "May sign in", "Who may do what"):
            assert word not in text, url


def test_with_a_second_person_roles_are_shown(as_owner, owner, technician):
    text = page(as_owner.get(reverse("person-change", args=[owner.pk])))
    assert "Role" in text
    assert "May sign in" in text


def test_a_lone_owner_changes_their_name(as_owner, owner):
    as_owner.post(reverse("person-change", args=[owner.pk]), {"name": "Nell A."})
    owner.refresh_from_db()
    assert (owner.name, owner.role, owner.is_active) == ("Nell A.", "owner", True)


@pytest.mark.parametrize("typed", [{"role": "technician"}, {"is_active": None}])
def test_the_last_owner_stays_one(as_owner, owner, technician, typed):
    answer = change(as_owner, owner, **typed)
    assert answer.status_code == 422
    assert "This is the only owner who may sign in." in page(answer)
    owner.refresh_from_db()
    assert (owner.role, owner.is_active) == ("owner", True)


def test_an_owner_may_go_when_there_is_another(as_owner, owner, technician):
    change(as_owner, technician, role="owner")
    assert change(as_owner, owner, role="counter").status_code == 302
    owner.refresh_from_db()
    assert owner.role == "counter"
    assert as_owner.get(reverse("people")).status_code == 403


def test_somebody_who_left_is_kept_and_signed_out(as_owner, technician):
    theirs = Client()
    theirs.force_login(technician)
    change(as_owner, technician, is_active=None)
    assert theirs.get(reverse("help")).status_code == 302
    assert "no longer, has left" in page(as_owner.get(reverse("people")))


def test_nothing_deletes_a_person(as_owner, technician):
    for url in (reverse("person-change", args=[technician.pk]), reverse("people")):
        as_owner.delete(url)
    assert Person.objects.filter(pk=technician.pk).exists()


def test_a_new_password_for_somebody_signs_them_out(as_owner, technician):
    theirs = Client()
    theirs.force_login(technician)
    change(as_owner, technician, password="three blue kettles", again="three blue kettles")
    assert theirs.get(reverse("help")).status_code == 302


def test_a_new_password_for_oneself_keeps_one_signed_in(as_owner, owner, technician):
    change(as_owner, owner, password="three blue kettles", again="three blue kettles")
    assert as_owner.get(reverse("people")).status_code == 200


def test_two_empty_passwords_keep_the_present_one(as_owner, technician):
    change(as_owner, technician, name="T. Reyk", password="", again="")
    technician.refresh_from_db()
    assert technician.check_password("a long enough word")


def test_one_empty_password_is_a_difference(as_owner, technician):
    assert change(as_owner, technician, password="", again="three blue kettles").status_code == 422


@pytest.mark.parametrize("number", ["0", "999999", "9" * 19, "9" * 60])
def test_a_person_who_is_not_there(as_owner, number):
    assert as_owner.get(f"/people/{number}/").status_code == 404


@pytest.mark.parametrize("name", ["people", "person-add"])
def test_people_are_the_owners_business(as_technician, name):
    answer = as_technician.get(reverse(name))
    assert answer.status_code == 403
    assert "is for the owner." in page(answer)


def test_the_table_of_roles_is_the_one_that_is_asked(as_counter):
    from shop.roles import CAPABILITIES

    text = page(as_counter.get(reverse("help-roles")))
    assert all(str(c.words).replace("'", "&#x27;") in text for c in CAPABILITIES)
