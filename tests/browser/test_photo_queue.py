"""Photos that are added while the network is away are kept, shown as not sent, and sent once."""

from __future__ import annotations

import sqlite3

import pytest

from tests.jobs.pictures import picture

pytestmark = pytest.mark.browser

LEAK = "label:has([name=subject][value=leak])"


def entries(server) -> int:
    """How many entries with photos the server's record holds."""
    with sqlite3.connect(
        f"file:{server.data / 'baywitness.sqlite3'}?mode=ro", uri=True
    ) as database:
        query = "SELECT count(*) FROM jobs_entry WHERE kind = 'photos'"
        return database.execute(query).fetchone()[0]


@pytest.fixture
def form(phone, server):
    """The photo form of a ticket, filled in with two photos."""
    phone.goto(f"{server.url}/tickets/new/")
    phone.fill("[name=complaint]", "It drips.")
    phone.click(".save button")
    phone.wait_for_url("**/tickets/1/")
    phone.goto(f"{server.url}/tickets/1/photos/new/")
    fill_in(phone)
    return phone


def fill_in(page) -> None:
    page.set_input_files(
        "[name=photos]",
        [
            {"name": f"{colour}.jpg", "mimeType": "image/jpeg", "buffer": picture(colour=colour)}
            for colour in ("red", "green")
        ],
    )
    page.click(LEAK)


def save(page) -> None:
    page.click(".save button")


def test_with_the_network_there_they_go_straight_to_the_ticket(form, server):
    save(form)
    form.wait_for_url("**/tickets/1/#e*")
    assert entries(server) == 1
    assert form.complaints == []


def test_without_it_they_wait_and_go_when_it_is_back(form, server):
    form.context.set_offline(True)
    save(form)
    form.wait_for_selector("#unsent li")
    assert "2 × leak" in form.inner_text("#unsent")
    assert entries(server) == 0
    form.context.set_offline(False)
    form.wait_for_selector("#unsent", state="hidden")
    assert entries(server) == 1


def test_they_outlast_a_closed_page(form, server):
    context = form.context
    context.set_offline(True)
    save(form)
    form.wait_for_selector("#unsent li")
    form.close()
    context.set_offline(False)
    again = context.new_page()
    with again.expect_response(lambda answer: answer.request.method == "POST"):
        again.goto(f"{server.url}/tickets/1/")
    again.wait_for_selector("#unsent", state="hidden")
    assert entries(server) == 1


LOSES_THE_FIRST_ANSWER = """() => {
  const real = window.fetch;
  window.fetch = async (...what) => {
    await real(...what);
    window.fetch = real;
    document.body.dataset.answer = "lost";
    throw new TypeError("the answer was lost");
  };
}"""


def test_when_only_the_answer_was_lost_there_is_one_entry(form, server):
    form.evaluate(LOSES_THE_FIRST_ANSWER)
    save(form)
    form.wait_for_selector("body[data-answer=lost]")
    assert entries(server) == 1
    form.click("[data-send]")
    form.wait_for_selector("#unsent", state="hidden")
    assert entries(server) == 1


def test_a_server_that_was_killed_gets_them_when_it_is_back(form, server):
    server.kill()
    save(form)
    form.wait_for_selector("#unsent li")
    server.start()
    form.click("[data-send]")
    form.wait_for_selector("#unsent", state="hidden")
    assert entries(server) == 1


def test_a_refused_photo_says_why_and_leaves_the_form_as_it_is(form, server):
    form.set_input_files(
        "[name=photos]", {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": b"x" * 99}
    )
    form.fill("[name=caption]", "Under the pump")
    save(form)
    form.wait_for_selector("form .notice-wrong")
    assert "Only JPEG, PNG, WebP and HEIC" in form.inner_text("form .notice-wrong")
    assert form.input_value("[name=caption]") == "Under the pump"
    assert entries(server) == 0


def test_somebody_elses_photos_are_not_sent_under_this_name(form, server):
    form.context.set_offline(True)
    save(form)
    form.wait_for_selector("#unsent li")
    form.evaluate("document.getElementById('unsent').dataset.person = '999'")
    form.context.set_offline(False)
    form.wait_for_selector("#unsent", state="hidden")
    assert entries(server) == 0


def test_photos_that_are_not_to_be_sent_are_thrown_away_on_asking(form, server):
    form.context.set_offline(True)
    save(form)
    form.wait_for_selector("#unsent li")
    form.on("dialog", lambda dialog: dialog.accept())
    form.click("#unsent li button")
    form.wait_for_selector("#unsent", state="hidden")
    form.context.set_offline(False)
    form.reload()
    assert form.is_hidden("#unsent")
    assert entries(server) == 0


def test_without_script_the_form_sends_as_any_other(browser, server, phone):
    phone.goto(f"{server.url}/tickets/new/")
    phone.fill("[name=complaint]", "It drips.")
    phone.click(".save button")
    phone.wait_for_url("**/tickets/1/")
    plain = browser.new_context(
        java_script_enabled=False, storage_state=phone.context.storage_state()
    )
    page = plain.new_page()
    page.goto(f"{server.url}/tickets/1/photos/new/")
    fill_in(page)
    save(page)
    assert "/tickets/1/#e" in page.url
    assert entries(server) == 1
    plain.close()
