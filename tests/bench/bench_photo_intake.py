"""What taking a 12-megapixel photo costs, against the picture library alone doing the same.

Run by hand, on a machine that does nothing else: python -m tests.bench.bench_photo_intake
Counts processor time of this process and of the helper together; both ways take turns in one run.
"""

from __future__ import annotations

import io
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from PIL import Image, ImageOps

ROUNDS = 15
TARGET = 1.3
COPIES = (1600, 1000, 400)


def a_photo() -> bytes:
    """12 megapixels with a phone's detail, noise, and orientation."""
    colours = Image.merge("RGB", [Image.effect_noise((120, 90), 90) for _ in range(3)])
    detail = colours.resize((4032, 3024), Image.Resampling.BICUBIC)
    noise = Image.effect_noise((4032, 3024), 24).convert("RGB")
    exif = Image.Exif()
    exif[0x0112] = 6
    with io.BytesIO() as file:
        Image.blend(detail, noise, 0.25).save(file, "JPEG", quality=90, exif=exif)
        return file.getvalue()


def library_alone(data: bytes) -> list[bytes]:
    """The same three upright copies: read at half size, shrunk, then turned."""
    image = Image.open(io.BytesIO(data))
    width, height = image.size
    image.draft("RGB", (COPIES[0], round(COPIES[0] * height / width)))
    image = image.resize(_fit(image.size, COPIES[0]), Image.Resampling.LANCZOS, reducing_gap=2.0)
    image = ImageOps.exif_transpose(image)
    made = []
    for longest in COPIES:
        image = image.resize(_fit(image.size, longest), Image.Resampling.LANCZOS, reducing_gap=2.0)
        with io.BytesIO() as file:
            image.save(file, "JPEG", quality=82)
            made.append(file.getvalue())
    return made


def _fit(size: tuple[int, int], longest: int) -> tuple[int, int]:
    scale = longest / max(size)
    return round(size[0] * scale), round(size[1] * scale)


def processor_seconds(pids: list[int]) -> float:
    """Processor time of these processes so far (Linux: the clock of a process by its number)."""
    return sum(time.clock_gettime((~pid << 3) | 2) for pid in pids)


def measured(work: Callable[[], object], pids: list[int]) -> tuple[float, float]:
    """Processor and wall seconds of doing it once."""
    wall, processor = time.perf_counter(), processor_seconds(pids)
    work()
    return processor_seconds(pids) - processor, time.perf_counter() - wall


def main() -> int:
    """Measure, print, and answer 1 where the target is missed."""
    from jobs import process
    from jobs.photos import decode, intake, store

    data = a_photo()
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "photos"
        first = intake.take(root, [data])
        file = store.original_path(root, first.sha256)
        pids = [os.getpid(), *(h.process.pid for h in process.DECODING.helpers())]
        ways: dict[str, Callable[[], object]] = {
            "library alone": lambda: library_alone(data),
            "taking it, all in all": lambda: intake.take(root, [data]),
            "- opening and copies": lambda: decode.decode(data),
            "- the same in the helper": lambda: process.decode(file),
            "- hash, write, sync": lambda: store.put(root, [data]),
        }
        times: dict[str, list[tuple[float, float]]] = {name: [] for name in ways}
        for turn in range(ROUNDS + 1):
            for name, work in ways.items():
                spent = measured(work, pids)
                if turn:  # the first one warms up
                    times[name].append(spent)
        process.DECODING.close()

    print(f"JPEG 4032 x 3024, {len(data) / 1e6:.1f} MB, median of {ROUNDS}")
    print(f"{'':26}{'processor ms':>14}{'wall ms':>10}")
    middle = {}
    for name, spent in times.items():
        processor, wall = (1000 * statistics.median(column) for column in zip(*spent, strict=True))
        middle[name] = processor
        print(f"{name:26}{processor:14.1f}{wall:10.1f}")
    hand_over = middle["- the same in the helper"] - middle["- opening and copies"]
    print(f"{'- hand-over (difference)':26}{hand_over:14.1f}")
    ratio = middle["taking it, all in all"] / middle["library alone"]
    print(f"ratio {ratio:.2f}, target below {TARGET}")
    return 0 if ratio < TARGET else 1


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    import django

    django.setup()
    sys.exit(main())
