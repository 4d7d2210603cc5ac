"""The demo's van that cranks slowly, with parts that others fitted: from suspects to a report."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.browser.conftest import phone_page
from tests.browser.test_whole_job import choose, follow, press
from tests.live import Server, copied, manage
from tests.measurements.readings_files import Case

pytestmark = pytest.mark.browser

STRAP = "A strap, cable or lug loses contact once it is hot"
BATTERY = "The battery is flat or worn"

FIRST_THINGS = {
    "look_over": "nothing_seen",
    "make_it_happen": "one_tap_only",
    "trouble_codes": "empty_complete",
}

UNFOLD = """box => {
  for (let fold = box.closest("details"); fold; fold = fold.parentElement.closest("details"))
    fold.open = true;
}"""


@pytest.fixture(scope="module")
def van(template: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Server, dict]]:
    """A running shop with the van's ticket as it came in."""
    data = copied(template, tmp_path_factory.mktemp("van") / "live")
    to = data / "numbers.json"
    told = "from pathlib import Path; from tests.browser.filled import begin;"
    manage(data, "shell", "-c", f"{told} begin(Path({str(to)!r}))")
    server = Server(data).start()
    yield server, json.loads(to.read_text("utf-8"))
    server.stop()


class Van:
    """The technician's phone on the van's ticket."""

    def __init__(self, page: Any, server: Server, numbers: dict[str, str]) -> None:
        self.page = page
        self.ticket = f"{server.url}/tickets/{numbers['ticket']}/"
        self.suspects = f"{self.ticket}complaints/{numbers['complaint']}/suspects/"

    def odds(self) -> dict[str, int]:
        """Each suspect -> its odds in a hundred, as the page writes them."""
        self.page.goto(self.suspects)
        found = {}
        for head in self.page.locator(".suspects > li > .suspect-head").all():
            said = head.locator(".suspect-odds").text_content()
            one, many = map(int, re.findall(r"\d+", said))
            found[head.locator("b").text_content()] = round(100 * one / many)
        return found

    def next_tests(self) -> list[str]:
        """The tests that are offered next, the best first."""
        self.page.goto(self.suspects)
        return self.page.locator(".next-tests > li > a b").all_inner_texts()

    def make(self, test: str, case: str) -> None:
        """Make a test as its readings file has it: the fault there, the engine hot."""
        self.page.goto(f"{self.ticket}tests/{test}/")
        typed = dict(Case(test, case).data["typed"])
        if path := typed.pop("given.path", ""):
            self.page.locator("[name='given.path']").select_option(path)
            self.page.locator("[name='path.post.drop']").wait_for(state="attached")
        self.if_asked("Was the complaint happening just then?", "yes, just then")
        self.if_asked("Engine", "hot")
        for address, told in typed.items():
            self.answer(address, told if isinstance(told, str) else " ".join(told))
        press(self.page, "Save test")

    def if_asked(self, question: str, answer: str) -> None:
        """A question that some tests answer by themselves."""
        if self.page.get_by_role("group", name=question).count():
            choose(self.page, question, answer)

    def answer(self, address: str, told: str) -> None:
        """One box, ring or list of a form, unfolded where it lies in a fold."""
        boxes = self.page.locator(f"[name='{address}']")
        boxes.first.evaluate(UNFOLD)
        kind = boxes.first.evaluate("box => box.type")
        if kind in ("radio", "checkbox"):
            self.page.locator(f"[name='{address}'][value='{told}']").check(force=True)
        elif kind == "select-one":
            boxes.first.select_option(told)
        else:
            boxes.first.fill(told)


@pytest.fixture(scope="module")
def at_the_van(browser, van) -> Iterator[Van]:
    server, numbers = van
    page = phone_page(browser, server)
    yield Van(page, server, numbers)
    page.context.close()


def test_from_suspects_to_a_report(at_the_van: Van) -> None:
    van, page = at_the_van, at_the_van.page

    page.goto(van.ticket)
    assert page.get_by_text("Starter motor").first.is_visible()
    at_first = van.odds()
    assert BATTERY in at_first

    van.make("battery_at_rest", "rested_and_full")
    van.make("cranking", "loss_on_the_way")
    after_two = van.odds()
    assert after_two[STRAP] > at_first[STRAP]
    assert after_two.get(BATTERY, 0) < at_first[BATTERY]
    assert not re.search(
        r"\bposterior|likelihood|\bbits?\b", page.locator(".suspects").first.inner_text()
    )

    for first, case in FIRST_THINGS.items():
        van.make(first, case)
    assert "Voltage drop under load" in van.next_tests()
    page.locator(".next-tests > li > a").filter(has_text="Voltage drop under load").click()
    assert "/tests/voltage_drop/" in page.url

    van.make("voltage_drop", "corroded_strap_hot")
    decided = van.odds()
    assert decided[STRAP] > after_two[STRAP]
    assert next(iter(decided)) == STRAP

    follow(page, "make a finding of it")
    page.get_by_label("What is found").fill("The engine's ground strap loses contact when hot.")
    for box in page.get_by_role("group", name="It rests on").get_by_role("checkbox").all():
        box.check()
    page.get_by_role("button", name=re.compile("Look again")).first.click()
    offered = page.locator("[name='certainty']:checked").get_attribute("value")
    assert offered in ("confirmed", "probable")
    press(page, "Save")

    page.goto(f"{van.ticket}report/")
    report = " ".join(page.locator("main").inner_text().split())
    assert "How we came to it" in report
    assert "What speaks for it" in report
    assert "voltage drop under load" in report
    assert not re.search(r"\d in 10|× \d", report)
