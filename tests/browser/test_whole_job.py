"""One car from complaint to findings report, done by a technician with a phone."""

from __future__ import annotations

import functools
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from PIL import Image, ImageDraw, ImageFilter
from pypdf import PdfReader
from pypdf.generic import StreamObject

from tests.browser.conftest import phone_page
from tests.jobs.photos.pictures import MARKS, XMP, exif_of, saved
from tests.live import Server, copied
from tests.needs import needs

pytestmark = [pytest.mark.browser, needs("pango")]

SAID = "The lamp glows with the blower on, and it lost its coolant twice."


# --- photos as a phone makes them ---------------------------------------------------------------


def close_up(base: str, spot: str, *, tall: bool = False) -> Image.Image:
    """Something like a photo of a worn part: blurred shapes on a blurred ground, with grain."""
    size = (900, 1200) if tall else (1200, 900)
    scene = Image.new("RGB", size, base)
    draw = ImageDraw.Draw(scene)
    middle, low = size[0] // 2, size[1] // 2
    draw.rectangle((middle - 90, 0, middle + 90, low), fill="silver")
    draw.ellipse((middle - 220, low - 120, middle + 220, low + 260), fill=spot)
    grain = Image.effect_noise(size, 40).convert("RGB")
    return Image.blend(scene.filter(ImageFilter.GaussianBlur(9)), grain, 0.18)


@functools.cache
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


TEST, PHOTO, SWAP = (re.compile(f"^{word}$") for word in ("Test", "Photo", "Swap"))
CHARGING = re.compile("Charging")
OFFERED_CHARGING = re.compile("^Charging over")
OFFERED_HOLD = re.compile("^Cooling system pressure hold")


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
    follow(page, PHOTO)
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


def charging(page: Any, idle: str, fast: str, *, there: str = "yes, just then") -> None:
    choose(page, "Was the complaint happening just then?", there)
    choose(page, "Engine", "hot")
    for tick in page.get_by_role("group", name="Ready to measure").get_by_role("checkbox").all():
        tick.check()
    page.get_by_label("Alternator's rated current", exact=True).fill("90")
    point(page, "Idle", Volts_at_the_battery=idle)
    point(page, "2000 rpm, loads on", Volts_at_the_battery=fast, Alternator_current="55 A")
    press(page, "Save test")


def pressure_hold(page: Any) -> None:
    choose(page, "Engine", "cold")
    for tick in page.get_by_role("group", name="Ready to measure").get_by_role("checkbox").all():
        tick.check()
    page.get_by_label("Rating on the cap", exact=True).fill("1,1 bar")
    page.get_by_label("Engine at the start", exact=True).select_option("cold")
    point(page, "Reading 1", Time="0", Pressure="104 kPa", Coolant_temperature="21")
    point(page, "Reading 2", Time="2 min", Pressure="98")
    point(page, "Reading 3", Time="5", Pressure="90", Coolant_temperature="21")
    press(page, "Save test")


def swap_the_belt(page: Any) -> None:
    follow(page, SWAP)
    choose(page, "Why", "pointed to by a test")
    page.get_by_label("Part out").fill("Ribbed belt, glazed")
    page.get_by_label("Part in").fill("Ribbed belt, new")
    tick(page, "Tests that pointed to it", CHARGING)
    unfold(page, "Tests before and after")
    tick(page, "Tests before", CHARGING)
    press(page, "Save")


def complete_the_swap(page: Any) -> None:
    follow(page, re.compile("Complete"))
    page.get_by_role("group", name="Tests after", exact=True).get_by_label(CHARGING).last.check()
    choose(page, "What it did", "not present in the repeat")
    press(page, "Save")


def tick(page: Any, question: str, answer: re.Pattern) -> None:
    page.get_by_role("group", name=question, exact=True).get_by_label(answer).check()


def issue(page: Any) -> bytes:
    follow(page, re.compile("report", re.IGNORECASE))
    press(page, "Issue it")
    address = page.get_by_role("link", name="Open the PDF").get_attribute("href")
    return page.request.get(page.url.split("/tickets")[0] + address).body()


@dataclass
class Job:
    """What is left of the job: the report's PDF, its text, and the browser's complaints."""

    pdf: bytes
    complaints: list[str]

    @property
    def reader(self) -> PdfReader:
        """The PDF, opened."""
        return PdfReader(io.BytesIO(self.pdf))

    @property
    def text(self) -> str:
        """All of its text, with single blanks."""
        pages = " ".join(page.extract_text() for page in self.reader.pages)
        return " ".join(pages.split())


@pytest.fixture(scope="module")
def job(browser, template, tmp_path_factory) -> Iterator[Job]:
    """The whole job, done once."""
    server = Server(copied(template, tmp_path_factory.mktemp("job") / "live")).start()
    page = phone_page(browser, server)
    try:
        pdf = do_the_job(page)
        yield Job(pdf, page.complaints)
    finally:
        page.context.close()
        server.stop()


def do_the_job(page: Any) -> bytes:
    open_the_ticket(page)
    photograph(page)
    follow(page, TEST)
    follow(page, OFFERED_CHARGING)
    charging(page, "14,2", "12.4 V")
    first = page.url
    back_to_the_ticket(page)
    follow(page, TEST)
    follow(page, OFFERED_HOLD)
    pressure_hold(page)  # the first of three taps from readings to a finding
    follow(page, "Make a finding of it")
    press(page, "Save")
    swap_the_belt(page)
    page.goto(first)
    follow(page, "Again, after the repair")
    charging(page, "14,3", "14.1 V", there="no, not just then")
    back_to_the_ticket(page)
    complete_the_swap(page)
    return issue(page)


# --- the report that the customer is handed -----------------------------------------------------


def test_the_browser_has_nothing_to_complain_of(job):
    assert job.complaints == []


@pytest.mark.parametrize(
    "words",
    [
        f"‘{SAID}’",
        "TS58 KLV",
        "Odile Verhagen",
        "It lost 14 kPa, and not by cooling down",
        "Probable",
        "Reading 3 90 ± 5",
        "2000 rpm, loads on 12.4 ± 0.1 13.0 to 14.8",
        "2000 rpm, loads on 14.1 ± 0.1 13.0 to 14.8",
        "common practice is 13.0 to 14.8 V",
        "Ribbed belt, glazed",
        "Not present in the repeat of the test",
        "2000 rpm, loads on, volts at the battery 12.4 V 14.1 V +1.7 V",
        "Plugs of cylinders 1 and 2",
        "Tomas Reyk",
        "End of report 0001, revision 1",
    ],
)
def test_the_report_says(job, words):
    assert words in job.text


def test_each_page_says_which_of_how_many_it_is(job):
    pages = job.reader.pages
    for number, page in enumerate(pages, start=1):
        assert page.extract_text().endswith(f"{number} of {len(pages)}")


def test_the_outline_leads_to_the_parts_of_the_report(job):
    tops = [item.title for item in job.reader.outline[1] if not isinstance(item, list)]
    assert job.reader.outline[0].title == "Findings report"
    assert tops[:4] == ["In short", "What we found", "Parts changed", "Every test made"]


def test_a_screen_reader_is_told_language_and_structure(job):
    root = job.reader.trailer["/Root"]
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in root


def test_every_figure_has_words_in_its_place(job):
    words = list(alternatives(job.reader.trailer["/Root"]["/StructTreeRoot"]))
    assert all(words)
    assert words.count("Plugs of cylinders 1 and 2") == 2
    assert any(text.startswith("Voltage over engine speed") for text in words)
    assert any(text.startswith("Gauge pressure from 104") for text in words)


def test_the_three_photos_are_in_it_and_stand_upright(job):
    pictures = [each.image for each in job.reader.pages[-1].images]
    assert len(pictures) == 3
    tall = [image for image in pictures if image.height > image.width]
    assert len(tall) == 1
    # The plug's thread is bright and hangs in from above.
    above, below = (
        tall[0].convert("L").getpixel((tall[0].width // 2, tall[0].height * eighth // 8))
        for eighth in (1, 7)
    )
    assert above > below + 40


def test_the_heic_lies_on_its_side_in_the_file():
    assert b"irot" in turned_heic()


def test_nothing_of_place_owner_or_serial_number_is_left(job):
    assert leaks(telling_jpeg()) >= {b"PLANTED-OWNER", b"PLANTED-SERIAL", b"Exif\0\0"}
    assert leaks(job.pdf) == set()
    assert [leaks(part) for part in streams(job.reader) if leaks(part)] == []


def alternatives(node: Any) -> Iterator[str | None]:
    """The alternative text of every figure below this element of the structure."""
    node = node.get_object()
    if isinstance(node, list):
        for child in node:
            yield from alternatives(child)
    elif isinstance(node, dict):
        if node.get("/S") == "/Figure":
            yield node.get("/Alt")
        if "/K" in node:
            yield from alternatives(node["/K"])


def leaks(data: bytes) -> set[bytes]:
    """Marks that were planted in the photos, and places where metadata would sit."""
    places = (b"GPSLatitude", b"Exif\0\0", b"http://ns.adobe.com/xap")
    return {mark for mark in (*MARKS, *places) if mark in data}


def streams(reader: PdfReader) -> Iterator[bytes]:
    """Every stream of the PDF, as it lies there and unpacked."""
    for number in range(1, reader.trailer["/Size"]):
        found = reader.get_object(number)
        if isinstance(found, StreamObject):
            yield found._data
            yield found.get_data()
