"""One car from complaint to findings report, done by a technician with a phone."""

from __future__ import annotations

import re
import zlib
from typing import Any

import pytest
from PIL import Image, ImageDraw, ImageFilter

from tests.jobs.photos.pictures import MARKS, XMP, exif_of, saved
from tests.needs import needs

pytestmark = [pytest.mark.browser, needs("pango")]

SAID = "The lamp glows with the blower on, and it lost its coolant twice."
FOUND_MARKS = (*MARKS, b"GPSLatitude", b"Fieldphone")


# --- photos as a phone makes them ---------------------------------------------------------------


def close_up(base: str, spot: str, *, tall: bool = False) -> Image.Image:
    """Something like a photo of a worn part: blurred shapes on a blurred ground, with grain."""
    size = (1200, 1600) if tall else (1600, 1200)
    scene = Image.new("RGB", size, base)
    draw = ImageDraw.Draw(scene)
    middle, low = size[0] // 2, size[1] // 2
    draw.rectangle((middle - 90, 0, middle + 90, low), fill="silver")
    draw.ellipse((middle - 220, low - 120, middle + 220, low + 260), fill=spot)
    grain = Image.effect_noise(size, 40).convert("RGB")
    return Image.blend(scene.filter(ImageFilter.GaussianBlur(9)), grain, 0.18)


def turned_heic() -> bytes:
    """A HEIC that lies on its side in the file and is shown upright by its own turn."""
    lying = close_up("dimgray", "sienna", tall=True).transpose(Image.Transpose.ROTATE_90)
    return saved(lying, "HEIF", exif=exif_of(orientation=6).tobytes(), quality=60)


def telling_jpeg() -> bytes:
    """A JPEG that names its owner, its camera's serial number and the place."""
    return saved(
        close_up("slategray", "black"), "JPEG", exif=exif_of().tobytes(), xmp=XMP,
        comment=b"PLANTED-COMMENT",
    ) + b"PLANTED-TRAILER"  # fmt: skip


def file(name: str, kind: str, data: bytes) -> dict[str, Any]:
    return {"name": name, "mimeType": kind, "buffer": data}


# --- the way a person goes ----------------------------------------------------------------------


def press(page: Any, name: str) -> None:
    """The button or link with this name that leads on to another page."""
    with page.expect_navigation():
        page.get_by_role("button", name=name, exact=True).locator("visible=true").last.click()


def follow(page: Any, name: str | re.Pattern) -> None:
    with page.expect_navigation():
        page.get_by_role("link", name=name).locator("visible=true").first.click()


def back_to_the_ticket(page: Any) -> None:
    follow(page, re.compile("^Back to 0001"))


def choose(page: Any, question: str, answer: str) -> None:
    page.get_by_role("group", name=question).get_by_text(answer, exact=True).click()


def unfold(page: Any, words: str | re.Pattern) -> None:
    page.locator("summary").filter(has_text=words).first.click()


def open_the_ticket(page: Any) -> None:
    follow(page, "New ticket")
    page.get_by_label("Number plate").fill("TS58 KLV")
    page.get_by_label("Telephone", exact=True).fill("01632 960123")
    page.get_by_label("Complaint, in the customer’s own words").fill(SAID)
    unfold(page, "Name, firm")
    page.get_by_label("Name", exact=True).fill("Odile Verhagen")
    press(page, "Open the ticket")


def photograph(page: Any) -> None:
    follow(page, re.compile("^Photo$"))
    page.get_by_label("Photos", exact=True).set_input_files(
        file("stick.jpg", "image/jpeg", saved(close_up("olive", "goldenrod"), "JPEG"))
    )
    choose(page, "They show", "dipstick")
    page.get_by_label("For the report").check()
    press(page, "Save, then photos of the next thing")
    page.get_by_label("Photos", exact=True).set_input_files(
        [
            file("plug1.heic", "image/heic", turned_heic()),
            file("plug2.jpg", "image/jpeg", telling_jpeg()),
        ]
    )
    choose(page, "They show", "spark plug")
    page.get_by_label("Caption").fill("Plugs of cylinders 1 and 2")
    page.get_by_label("For the report").check()
    press(page, "Save")


def point(page: Any, name: str, **readings: str) -> None:
    """One row of a test's readings, by the names that stand on the boxes."""
    row = page.get_by_role("group", name=name, exact=True)
    for label, typed in readings.items():
        row.get_by_label(label.replace("_", " "), exact=True).fill(typed)


def charging(page: Any, idle: str, fast: str) -> None:
    choose(page, "Was the complaint happening just then?", "yes, just then")
    choose(page, "Engine", "hot")
    for tick in page.get_by_role("group", name="Ready to measure").get_by_role("checkbox").all():
        tick.check()
    page.get_by_label("Alternator's rated current", exact=True).fill("90")
    point(page, "Idle", Volts_at_the_battery=idle)
    point(page, "2000 rpm, loads on", Volts_at_the_battery=fast, Alternator_current="55 A")
    press(page, "Save test")


def pressure_hold(page: Any) -> None:
    for tick in page.get_by_role("group", name="Ready to measure").get_by_role("checkbox").all():
        tick.check()
    page.get_by_label("Rating on the cap", exact=True).fill("1,1 bar")
    page.get_by_label("Engine at the start", exact=True).select_option("cold")
    point(page, "Reading 1", Time="0", Pressure="104 kPa", Coolant_temperature="21")
    point(page, "Reading 2", Time="2 min", Pressure="98")
    point(page, "Reading 3", Time="5", Pressure="90", Coolant_temperature="21")
    press(page, "Save test")


def swap_the_belt(page: Any) -> None:
    follow(page, re.compile("^Swap$"))
    choose(page, "Why", "pointed to by a test")
    page.get_by_label("Part out").fill("Ribbed belt, glazed")
    page.get_by_label("Part in").fill("Ribbed belt, new")
    page.get_by_role("group", name="Tests that pointed to it").get_by_label(
        re.compile("Charging")
    ).check()
    unfold(page, "Tests before and after")
    page.get_by_role("group", name="Tests before", exact=True).get_by_label(
        re.compile("Charging")
    ).check()
    press(page, "Save")


def issue(page: Any) -> bytes:
    follow(page, re.compile("report", re.IGNORECASE))
    press(page, "Issue it")
    address = page.get_by_role("link", name="Open the PDF").get_attribute("href")
    return page.request.get(page.url.split("/tickets")[0] + address).body()


@pytest.fixture
def job(phone, server):
    """The whole job, done; its PDF, and what the browser complained of."""
    page = phone
    open_the_ticket(page)
    photograph(page)
    follow(page, re.compile("^Test$"))
    follow(page, re.compile("Charging"))
    charging(page, "14,2", "12.4 V")
    first = page.url
    back_to_the_ticket(page)
    follow(page, re.compile("^Test$"))
    follow(page, re.compile("pressure hold"))
    pressure_hold(page)
    # Three taps: make a finding of it, look, save.
    follow(page, "Make a finding of it")
    press(page, "Save")
    swap_the_belt(page)
    page.goto(first)
    follow(page, "Again, after the repair")
    charging(page, "14,3", "14.1 V")
    back_to_the_ticket(page)
    pdf = issue(page)
    return pdf, page


def test_a_technician_takes_a_car_from_complaint_to_report(job):
    pdf, page = job
    open("/tmp/bw/browser/job.pdf", "wb").write(pdf)
    assert page.complaints == []
