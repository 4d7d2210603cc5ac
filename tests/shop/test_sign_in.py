"""Signing in and out: who gets in, what slows guessing down, what a stale page gives back."""

from __future__ import annotations

import logging
import re
import statistics
import time
from datetime import timedelta

import pytest
import time_machine
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shop import device
from shop.models import Person

PASSWORD = "a long enough word"
SIGN_IN = "/sign-in/"


def sign_in(client: Client, username: str = "nell", password: str = PASSWORD, **more):
    return client.post(SIGN_IN, {"username": username, "password": password, **more})


def plain(answer) -> str:
    """The page without what was typed and without its tokens."""
    return re.sub(r'value="[^"]*"|x-csrftoken": "\w+', "", answer.content.decode())


def signed_in(client: Client) -> bool:
    return client.get(reverse("help")).status_code == 200


# ------------------------------------------------------------------ the door


def test_the_right_name_and_password_open_the_door(client, owner):
    answer = sign_in(client)
    assert (answer.status_code, answer["Location"]) == (302, reverse("today"))
    assert signed_in(client)


def test_a_stranger_is_led_to_the_sign_in_page_and_back(client, owner):
    asked = client.get(reverse("help"))
    assert asked["Location"] == f"{SIGN_IN}?next={reverse('help')}"
    page = client.get(asked["Location"]).content.decode()
    assert f'name="next" value="{reverse("help")}"' in page
    assert sign_in(client, next=reverse("help"))["Location"] == reverse("help")


@pytest.mark.parametrize(
    "there",
    [
        "//evil.example/", "https://evil.example/", "http:///evil.example", "javascript:alert(1)",
        "/\\evil.example", "\\\\evil.example", "evil.example", "///evil.example",
        "/\t/evil.example",
        "http:evil", " //evil.example", "",
    ],
)  # fmt: skip
def test_where_one_is_led_on_to_is_a_page_of_ours(client, owner, there):
    assert sign_in(client, next=there)["Location"] == reverse("today")


def test_a_wrong_password_says_what_a_wrong_name_says(client, owner):
    wrong_password = sign_in(client, password="not this one")
    wrong_name = sign_in(client, username="nobody")
    assert wrong_password.status_code == wrong_name.status_code == 422
    assert plain(wrong_password) == plain(wrong_name)


def test_the_typed_name_stays_and_the_password_does_not(client, owner):
    page = sign_in(client, password="not this one").content.decode()
    assert 'value="nell"' in page
    assert "not this one" not in page


@pytest.mark.parametrize("username", ["ne\x00ll", "n" * 61, "", "  ", "\ufffe"])
def test_a_name_that_nobody_can_have_is_refused_without_a_fault(client, owner, username):
    assert sign_in(client, username=username).status_code == 422


def test_a_composed_and_a_decomposed_letter_are_the_same_name(client, shop):
    Person.objects.create_person(
        username="jos\u00e9", password=PASSWORD, name="José", role="technician"
    )
    assert sign_in(client, username="jose\u0301").status_code == 302


def test_the_session_gets_a_new_number_at_the_door(client, owner):
    client.get(SIGN_IN)
    session = client.session
    session["planted"] = "1"
    session.save()
    planted = client.cookies["sessionid"].value
    sign_in(client)
    assert client.cookies["sessionid"].value != planted
    client.cookies["sessionid"] = planted
    assert not signed_in(client)


def test_who_is_signed_in_is_led_on_from_the_sign_in_page(as_owner):
    assert as_owner.get(SIGN_IN)["Location"] == reverse("today")


# ------------------------------------------------------------------ timing


def test_a_wrong_name_costs_one_hash_as_a_wrong_password_does(client, owner, monkeypatch):
    from django.contrib.auth.hashers import MD5PasswordHasher

    made = []
    encode = MD5PasswordHasher.encode
    monkeypatch.setattr(
        MD5PasswordHasher, "encode", lambda self, *a, **k: made.append(1) or encode(self, *a, **k)
    )
    counts = []
    for username in ("nell", "nobody"):
        made.clear()
        sign_in(client, username=username, password="not this one")
        counts.append(len(made))
    assert counts == [1, 1]


def test_a_wrong_name_takes_as_long_as_a_wrong_password(client, shop, settings):
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
    settings.AXES_FAILURE_LIMIT = 10_000
    Person.objects.create_person(username="nell", password=PASSWORD, name="Nell", role="owner")

    def cost(username: str) -> float:
        begun = time.process_time()  # of this process: what else the machine does counts nothing
        sign_in(client, username=username, password="not this one")
        return time.process_time() - begun

    cost("nell"), cost("nobody")
    pairs = [(cost("nell"), cost("nobody")) for _ in range(7)]
    known, unknown = (statistics.median(times) for times in zip(*pairs, strict=True))
    assert abs(known - unknown) / known < 0.10


# ------------------------------------------------------------------ guessing


def test_ten_tries_a_minute_get_through_for_one_name(client, owner):
    answers = [sign_in(client, password=f"guess {n}").status_code for n in range(100)]
    assert answers.count(422) < 10
    assert set(answers) == {422, 429}
    assert sign_in(client).status_code == 429


@pytest.mark.parametrize("what", ["another browser", "another address"])
def test_guessing_at_a_name_from_elsewhere_is_counted_together(owner, what):
    answers = []
    for n in range(30):
        elsewhere = {"HTTP_USER_AGENT": f"b{n}"}
        if what == "another address":
            elsewhere["REMOTE_ADDR"] = f"10.0.0.{n}"
        guess = {"username": "nell", "password": f"g{n}"}
        answers.append(Client().post(SIGN_IN, guess, **elsewhere).status_code)
    assert answers.count(422) < 10


def test_guessing_at_many_names_from_one_address_is_slowed_down(owner):
    answers = [sign_in(Client(), username=f"name{n}").status_code for n in range(30)]
    assert answers.count(422) < 10


def test_a_forged_forwarding_header_buys_no_tries(owner):
    answers = [
        Client()
        .post(SIGN_IN, {"username": f"n{n}", "password": "x"}, HTTP_X_FORWARDED_FOR=f"10.0.0.{n}")
        .status_code
        for n in range(30)
    ]
    assert answers.count(422) < 10


def test_a_name_that_nobody_has_is_slowed_down_with_the_same_words(client, owner):
    pages = []
    for username, address in (("nell", "10.0.0.1"), ("nobody", "10.0.0.2")):
        for n in range(10):
            answer = Client().post(
                SIGN_IN, {"username": username, "password": f"g{n}"}, REMOTE_ADDR=address
            )
        pages.append(plain(answer))
        assert (answer.status_code, answer["Retry-After"]) == (429, "60")
    assert pages[0] == pages[1]


def test_the_owners_own_phone_still_signs_in_while_a_stranger_guesses(owner):
    phone, stranger = Client(), Client()
    sign_in(phone)
    phone.post(reverse("sign-out"))
    for n in range(30):
        sign_in(stranger, password=f"guess {n}")
    assert sign_in(stranger).status_code == 429
    assert sign_in(phone).status_code == 302


def test_a_known_phone_has_ten_tries_too(owner):
    phone = Client()
    sign_in(phone)
    phone.post(reverse("sign-out"))
    answers = [sign_in(phone, password=f"guess {n}").status_code for n in range(20)]
    assert answers.count(422) < 10
    assert answers[-1] == 429


def test_a_phone_known_for_one_name_is_a_stranger_for_another(owner, technician):
    phone = Client()
    sign_in(phone, username="tomas")
    phone.post(reverse("sign-out"))
    for n in range(12):
        sign_in(Client(), password=f"guess {n}")
    assert sign_in(phone).status_code == 429
    assert sign_in(phone, username="tomas").status_code == 302


@pytest.mark.parametrize("forged", ["", "x", "eyJ9:x:y", "a" * 5_000])
def test_a_device_cookie_that_we_did_not_sign_counts_for_nothing(owner, forged):
    client = Client()
    client.cookies["device"] = forged
    for n in range(12):
        sign_in(client, password=f"guess {n}")
    assert sign_in(client).status_code == 429


def test_the_device_cookie_holds_no_name(client, owner):
    sign_in(client)
    cookie = client.cookies["device"]
    assert "nell" not in cookie.value
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"


def test_a_device_remembers_the_last_twenty_people(rf):
    from django.http import HttpResponse

    request, response = rf.get("/"), HttpResponse()
    for n in range(device.MOST_PEOPLE + 5):
        device.remember(request, response, f"name{n}")
        request.COOKIES["device"] = response.cookies["device"].value
    known = device.device_of(request)
    assert known.knows("name24")
    assert not known.knows("name0")
    assert len(response.cookies["device"].value) < 2_000


def test_after_a_minute_the_door_opens_again(client, owner):
    start = timezone.now()
    for n in range(12):
        sign_in(client, password=f"guess {n}")
    with time_machine.travel(start + timedelta(seconds=61)):
        assert sign_in(client).status_code == 302


def test_tries_while_slowed_down_do_not_make_it_longer(client, owner):
    start = timezone.now()
    with time_machine.travel(start):
        for n in range(12):
            sign_in(client, password=f"guess {n}")
    with time_machine.travel(start + timedelta(seconds=50)):
        assert sign_in(client).status_code == 429
    with time_machine.travel(start + timedelta(seconds=62)):
        assert sign_in(client).status_code == 302


# ------------------------------------------------------------------ the way out


def test_signing_out_ends_the_session_and_empties_the_browser(as_owner):
    old = as_owner.cookies["sessionid"].value
    answer = as_owner.post(reverse("sign-out"))
    assert answer["Location"] == SIGN_IN
    assert answer["Clear-Site-Data"] == '"cache", "storage"'
    as_owner.cookies["sessionid"] = old
    assert not signed_in(as_owner)


def test_following_a_link_signs_nobody_out(as_owner):
    assert as_owner.get(reverse("sign-out")).status_code == 405
    assert signed_in(as_owner)


def test_somebody_deactivated_is_out_at_the_next_page(as_technician, technician):
    assert signed_in(as_technician)
    Person.objects.filter(pk=technician.pk).update(is_active=False)
    assert not signed_in(as_technician)


def test_somebody_deactivated_gets_the_words_of_a_wrong_password(client, owner, technician):
    Person.objects.filter(pk=technician.pk).update(is_active=False)
    left, nobody = sign_in(client, username="tomas"), sign_in(client, username="nobody")
    assert left.status_code == nobody.status_code == 422
    assert not signed_in(client)


# ------------------------------------------------------------------ stale pages


@pytest.fixture
def strict(owner):
    """The owner's browser, whose forms must prove where they come from."""
    browser = Client(enforce_csrf_checks=True)
    browser.force_login(owner)
    return browser


OURS = {"HTTP_ORIGIN": "http://testserver"}


def test_a_form_with_an_old_token_comes_back_with_what_was_typed(strict, customer):
    url = reverse("customer-change", args=[customer.pk])
    answer = strict.post(url, {"name": "<Odile> & Co", "csrfmiddlewaretoken": "old"}, **OURS)
    page = answer.content.decode()
    assert answer.status_code == 403
    assert "Please send that again" in page
    assert 'name="name" value="&lt;Odile&gt; &amp; Co"' in page
    assert f'action="{url}"' in page


def test_a_form_sent_again_is_taken(strict, customer):
    url = reverse("customer-change", args=[customer.pk])
    page = strict.post(url, {"name": "Odile V.", "csrfmiddlewaretoken": "old"}, **OURS)
    main = page.content.decode().split("<main")[1]
    fields = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', main))
    assert strict.post(url, fields, **OURS).status_code == 302
    customer.refresh_from_db()
    assert customer.name == "Odile V."


@pytest.mark.parametrize(
    "says",
    [{"HTTP_REFERER": "http://testserver/customers/"}, {"HTTP_SEC_FETCH_SITE": "same-origin"}, {}],
    ids=["referer", "fetch metadata", "nothing"],
)
def test_a_browser_without_origin_gets_back_what_was_typed_and_can_send_it(strict, customer, says):
    url = reverse("customer-change", args=[customer.pk])
    page = strict.post(url, {"name": "Odile V.", "csrfmiddlewaretoken": "old"}, **says)
    assert page.status_code == 403
    customer.refresh_from_db()
    assert customer.name == "Odile Verhagen"
    main = page.content.decode().split("<main")[1]
    fields = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', main))
    assert strict.post(url, fields, **says).status_code == 302
    customer.refresh_from_db()
    assert customer.name == "Odile V."


def test_where_nothing_says_whose_page_it_was_what_would_be_sent_is_shown_first(strict, customer):
    url = reverse("customer-change", args=[customer.pk])
    page = strict.post(url, {"name": "Odile <V.>", "client_key": "c0ffee"}).content.decode()
    assert "Send it only if it is what you typed" in page
    assert "<li>Odile &lt;V.&gt;</li>" in page
    assert "<li>c0ffee</li>" not in page
    proven = strict.post(url, {"name": "Odile V."}, **OURS).content.decode()
    assert "<li>Odile V.</li>" not in proven


def test_where_nothing_says_whose_page_it_was_a_stranger_gets_nothing_back(customer):
    stranger = Client(enforce_csrf_checks=True)
    answer = stranger.post(reverse("customer-change", args=[customer.pk]), {"name": "planted"})
    assert answer.status_code == 403
    assert "planted" not in answer.content.decode()


def test_over_an_encrypted_line_a_browser_that_hides_its_page_is_told_so(strict, customer):
    url = reverse("customer-change", args=[customer.pk])
    page = strict.post(url, {"name": "Odile V."}, secure=True).content.decode()
    assert "only if the browser names the page" in page
    assert "<li>Odile V.</li>" in page
    assert "Send it again" not in page


def test_the_cookie_of_a_session_goes_with_no_form_of_another_site(client, owner, settings):
    sign_in(client)
    assert client.cookies[settings.SESSION_COOKIE_NAME]["samesite"] == "Lax"


@pytest.mark.parametrize(
    "origin",
    [
        {"HTTP_ORIGIN": "null"},
        {"HTTP_ORIGIN": "http://evil.example"},
        {"HTTP_REFERER": "http://evil.example/testserver"},
        {"HTTP_REFERER": "http://testserver.evil.example/"},
        {"HTTP_REFERER": "http://[evil"},
        {"HTTP_SEC_FETCH_SITE": "cross-site"},
        {"HTTP_SEC_FETCH_SITE": "same-site", "HTTP_REFERER": "http://testserver/"},
        {"HTTP_ORIGIN": "null", "HTTP_REFERER": "http://testserver/"},
    ],
)
def test_a_form_of_another_site_is_handed_no_token(strict, customer, origin):
    url = reverse("customer-change", args=[customer.pk])
    answer = strict.post(url, {"name": "planted"}, **origin)
    assert answer.status_code == 403
    assert "planted" not in answer.content.decode()


def test_a_password_is_never_handed_back(strict):
    typed = {"present": "secret one", "password": "secret two", "again": "secret two"}
    page = strict.post(reverse("password-change"), typed, **OURS).content.decode()
    assert "secret" not in page


def test_what_somebody_signed_out_sends_comes_back_to_them(client, customer):
    url = reverse("customer-change", args=[customer.pk])
    answer = client.post(url, {"name": "Odile V."}, **OURS)
    page = answer.content.decode()
    assert answer.status_code == 403
    assert "You are signed out" in page
    assert 'value="Odile V."' in page
    customer.refresh_from_db()
    assert customer.name == "Odile Verhagen"


# ------------------------------------------------------------------ one's own password


def test_one_changes_ones_own_password_and_stays_signed_in(as_technician, technician):
    typed = {"present": PASSWORD, "password": "three blue kettles", "again": "three blue kettles"}
    assert as_technician.post(reverse("password-change"), typed).status_code == 302
    assert signed_in(as_technician)
    technician.refresh_from_db()
    assert technician.check_password("three blue kettles")


def test_another_device_is_signed_out_by_a_new_password(as_technician, technician):
    other = Client()
    other.force_login(technician)
    typed = {"present": PASSWORD, "password": "three blue kettles", "again": "three blue kettles"}
    as_technician.post(reverse("password-change"), typed)
    assert not signed_in(other)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"present": "wrong"}, "That is not the present password."),
        ({"again": "three blue kettle"}, "The two passwords differ."),
        ({"password": "short", "again": "short"}, "at least 12 characters"),
        ({"password": "password1234", "again": "password1234"}, "too common"),
        ({"password": "tomas reyk 1", "again": "tomas reyk 1"}, "too similar"),
        ({"password": "x" * 2_000, "again": "x" * 2_000}, "at most 1000 characters"),
    ],
)
def test_a_password_is_refused_with_the_reason(as_technician, technician, typed, words):
    right = {"present": PASSWORD, "password": "three blue kettles", "again": "three blue kettles"}
    answer = as_technician.post(reverse("password-change"), right | typed)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    technician.refresh_from_db()
    assert technician.check_password(PASSWORD)


def test_blanks_of_a_password_count(client, owner):
    assert sign_in(client, password=PASSWORD + " ").status_code == 422


# ------------------------------------------------------------------ the log


def test_the_log_says_what_happened_and_no_name(client, owner, caplog):
    with caplog.at_level(logging.INFO):
        sign_in(client, username="Secretname", password="secretword")
        sign_in(client)
        client.post(reverse("sign-out"))
    text = caplog.text
    assert "sign-in refused" in text
    assert f"signed in: person {owner.pk}" in text
    assert f"signed out: person {owner.pk}" in text
    for private in ("Secretname", "secretword", "nell", "Nell", PASSWORD, "127.0.0.1"):
        assert private not in text


def test_a_refused_page_is_logged_with_the_number_of_the_person(as_counter, counter, caplog):
    with caplog.at_level(logging.WARNING):
        as_counter.get(reverse("people"))
    assert f"refused /people/ to person {counter.pk}" in caplog.text


def test_a_slowed_down_password_stands_in_no_table(client, owner):
    from axes.models import AccessAttempt

    sign_in(client, password="planted secret")
    assert "planted secret" not in str(list(AccessAttempt.objects.values()))
