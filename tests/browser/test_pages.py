"""Every page, on a phone and at a desk, by day and by night."""

from __future__ import annotations

from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import URLPattern, URLResolver, get_resolver, resolve

from tests.browser.watch import sticks_out

pytestmark = pytest.mark.browser

NARROW, PHONE, DESK = 320, 390, 1280

PAGES = (
    "/",
    "/find/?q=strap",
    "/tickets/",
    "/cars/",
    "/cars/{car}/",
    "/cars/{car}/change/",
    "/cars/{car}/owner/",
    "/cars/{car}/limits/charging/",
    "/cars/{car}/tests/charging/",
    "/customers/",
    "/customers/{customer}/",
    "/customers/{customer}/change/",
    "/tickets/new/",
    "/tickets/{ticket}/",
    "/tickets/{estate}/",
    "/tickets/{ticket}/check-in/",
    "/tickets/{ticket}/people/",
    "/tickets/{ticket}/state/",
    "/tickets/{ticket}/more/",
    "/tickets/{ticket}/complaints/new/",
    "/tickets/{ticket}/complaints/{complaint}/change/",
    "/tickets/{ticket}/wishes/new/",
    "/tickets/{ticket}/notes/new/",
    "/tickets/{ticket}/looked-up/new/",
    "/tickets/{ticket}/complaints/{complaint}/lately/",
    "/tickets/{ticket}/complaints/{complaint}/before/",
    "/tickets/{ticket}/complaints/{complaint}/suspects/",
    "/tickets/{ticket}/complaints/{complaint}/suspects/add/",
    "/tickets/{ticket}/complaints/{complaint}/suspects/poor_ground/judge/",
    "/tickets/{ticket}/tests/",
    "/tickets/{ticket}/tests/alignment/",
    "/tickets/{ticket}/tests/battery_at_rest/",
    "/tickets/{ticket}/tests/brake_drag/",
    "/tickets/{ticket}/tests/brakes/",
    "/tickets/{ticket}/tests/charging/",
    "/tickets/{ticket}/tests/combustion_gas/",
    "/tickets/{ticket}/tests/compression/",
    "/tickets/{ticket}/tests/coolant_use/",
    "/tickets/{ticket}/tests/cranking/",
    "/tickets/{ticket}/tests/data_log/",
    "/tickets/{ticket}/tests/fuel_pressure/",
    "/tickets/{ticket}/tests/fuses_and_relays/",
    "/tickets/{ticket}/tests/intake_vacuum/",
    "/tickets/{ticket}/tests/leak_down/",
    "/tickets/{ticket}/tests/live_values/",
    "/tickets/{ticket}/tests/look_over/",
    "/tickets/{ticket}/tests/make_it_happen/",
    "/tickets/{ticket}/tests/oil_level/",
    "/tickets/{ticket}/tests/oil_pressure/",
    "/tickets/{ticket}/tests/parasitic_draw/",
    "/tickets/{ticket}/tests/play/",
    "/tickets/{ticket}/tests/pressure_cap/",
    "/tickets/{ticket}/tests/pressure_hold/",
    "/tickets/{ticket}/tests/road_test/",
    "/tickets/{ticket}/tests/spark_plugs/",
    "/tickets/{ticket}/tests/starter_current/",
    "/tickets/{ticket}/tests/substitution/",
    "/tickets/{ticket}/tests/temperature_survey/",
    "/tickets/{ticket}/tests/trouble_codes/",
    "/tickets/{ticket}/tests/tyres/",
    "/tickets/{ticket}/tests/voltage_drop/",
    "/tickets/{ticket}/tests/wire_trace/",
    "/tickets/{ticket}/entries/{drop}/test/",
    "/tickets/{ticket}/entries/{charging}/test/",
    "/tickets/{estate}/entries/{hold}/test/",
    "/tickets/{ticket}/entries/{drop}/correct/",
    "/tickets/{ticket}/entries/{drop}/withdraw/",
    "/tickets/{ticket}/photos/new/",
    "/tickets/{ticket}/photos/{frame}/",
    "/tickets/{ticket}/swaps/new/",
    "/tickets/{ticket}/swaps/elsewhere/",
    "/tickets/{ticket}/swaps/{swap}/change/",
    "/tickets/{ticket}/swaps/{elsewhere}/change/",
    "/tickets/{ticket}/swaps/{swap}/drives/",
    "/tickets/{ticket}/apart/",
    "/tickets/{ticket}/apart/{apart}/back/",
    "/tickets/{ticket}/alterations/new/",
    "/tickets/{ticket}/alterations/{alteration}/put-back/",
    "/tickets/{ticket}/findings/new/?test={drop}",
    "/tickets/{ticket}/findings/{finding}/change/",
    "/tickets/{ticket}/complaints/{complaint}/not-appeared/",
    "/tickets/{ticket}/open-work/new/",
    "/tickets/{ticket}/open-work/{open_work}/change/",
    "/tickets/{ticket}/report/",
    "/tickets/{ticket}/report/1/",
    "/parts-money/",
    "/odds/",
    "/odds/starts_badly/",
    "/instruments/",
    "/instruments/new/",
    "/instruments/tools/",
    "/instruments/{instrument}/",
    "/instruments/{instrument}/checks/",
    "/shop/",
    "/people/",
    "/people/new/",
    "/people/{person}/",
    "/password/",
    "/help/",
    "/help/start/",
    "/help/marks/",
    "/help/simulation/",
    "/help/record/",
    "/help/roles/",
    "/help/tests/",
    "/help/checked/",
    "/sign-in/",
)
NO_PAGES = {
    "ticket-known", "ticket-questions", "ticket-stop-advice",  # pieces of a page
    "ticket-check-in-sheet", "photo-original", "photo-file", "report-pdf", "shop-logo",  # files
    "test-log",  # a file too
    "test-draft", "draft-discard", "test-mistyped", "photo-choice", "report-issue",
    "sign-out", "instrument-retire", "shop-logo-change", "odds-change", "suspects-keep",
    "odds-take-counted",  # take only what is sent
    "test-again",  # leads on to a test's form
}  # fmt: skip


AXE = Axe().axe_script


def violations(page: Any, *, only: str = "") -> list[str]:
    """What axe-core, once it is on the page, finds against WCAG 2.2, levels A and AA."""
    chosen = (
        {"type": "rule", "values": [only]}
        if only
        else {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}
    )
    found = page.evaluate(
        "(options) => axe.run(document, options).then((found) => found.violations)",
        {"runOnly": chosen, "resultTypes": ["violations"]},
    )
    return [
        f"{each['id']}: {node['html'][:160]} ({node['failureSummary'][:200]})"
        for each in found
        for node in each["nodes"]
    ]


def names(patterns: Any) -> set[str]:
    found = set()
    for each in patterns:
        if isinstance(each, URLResolver):
            found |= names(each.url_patterns)
        elif isinstance(each, URLPattern):
            found.add(each.name)
    return found


def test_the_check_sees_what_cannot_be_read_or_named(reader, filled):
    reader.goto(filled.address("/"))
    reader.evaluate(AXE)
    reader.evaluate("""() => {
        const box = document.createElement("input");
        const faint = document.createElement("p");
        const wide = document.createElement("pre");
        faint.textContent = "hardly there";
        faint.style.setProperty("color", "#cccccc");
        faint.style.setProperty("background", "#ffffff");
        wide.textContent = "wide ".repeat(100);
        document.querySelector("main").append(box, faint, wide);
    }""")
    seen = {each.split(":")[0] for each in violations(reader)}
    assert {"label", "color-contrast"} <= seen
    assert sticks_out(reader, PHONE) != []


def test_no_page_is_left_out(filled):
    looked_at = {resolve(path.split("?")[0].format(**filled.numbers)).url_name for path in PAGES}
    assert names(get_resolver().url_patterns) - NO_PAGES == looked_at


@pytest.mark.parametrize("path", PAGES)
def test_a_page_fits_and_can_be_used_by_everybody(reader, filled, path):
    reader.emulate_media(color_scheme="light")
    reader.set_viewport_size({"width": PHONE, "height": 844})
    reader.goto(filled.address(path))
    reader.evaluate(AXE)
    found = {f"sticks out at {width} px": sticks_out(reader, width) for width in (NARROW, DESK)}
    reader.emulate_media(color_scheme="dark")
    found["desk, by night"] = violations(reader, only="color-contrast")
    reader.emulate_media(color_scheme="light")
    found[f"sticks out at {PHONE} px"] = sticks_out(reader, PHONE)
    # The bar under the thumb lies over whatever happens to be scrolled below it.
    whole = reader.evaluate("document.documentElement.scrollHeight")
    reader.set_viewport_size({"width": PHONE, "height": whole + 100})
    found["phone, by day"] = violations(reader)
    found["the browser complains"] = reader.complaints.copy()
    reader.complaints.clear()
    assert {where: what for where, what in found.items() if what} == {}
