"""Memory while twenty 12-megapixel photos are taken in: one decoded photo per helper, not twenty.

Run by hand: python -m tests.bench.bench_photo_memory
Each photo is another one. Reads the peak of this process and of each helper from the system
(VmHWM of Linux: the peak of what was really in memory; a child's ru_maxrss repeats its parent's).
"""

from __future__ import annotations

import io
import os
import sys
import tempfile
from pathlib import Path

from PIL import Image

PHOTOS = 20
WIDTH, HEIGHT = 4032, 3024
ONE_DECODED_MB = WIDTH * HEIGHT * 3 / 1e6
ALLOWED_MB = ONE_DECODED_MB
"""Above the level before, in each helper: what one photo takes when it is read whole."""
ALLOWED_HERE_MB = 10.0
"""In the process that receives, which never decodes: chunks, and the copies that come back."""
CHUNK = 64 * 1024  # as uploads come


def peak_mb(pid: int) -> float:
    """Most memory that the process has had, in megabytes."""
    for line in Path(f"/proc/{pid}/status").read_text("ascii").splitlines():
        if line.startswith("VmHWM:"):
            return int(line.split()[1]) * 1024 / 1e6
    raise RuntimeError(f"the system does not tell the peak of process {pid}")


def forget_peak(pid: int) -> None:
    """Start the peak anew from what is in memory now (Linux, proc(5): clear_refs 5)."""
    Path(f"/proc/{pid}/clear_refs").write_text("5", "ascii")


def photo_maker() -> list[Path]:
    """Twenty photos on disk, made by another process, so that their making leaves no trace here."""
    folder = Path(tempfile.mkdtemp())
    if not (child := os.fork()):
        colours = Image.merge("RGB", [Image.effect_noise((120, 90), 90) for _ in range(3)])
        detail = colours.resize((WIDTH, HEIGHT), Image.Resampling.BICUBIC)
        noise = Image.effect_noise((WIDTH, HEIGHT), 24).convert("RGB")
        with io.BytesIO() as file:
            Image.blend(detail, noise, 0.25).save(file, "JPEG", quality=90)
            data = file.getvalue()
        for number in range(PHOTOS):
            (folder / f"{number:02}.jpg").write_bytes(data + bytes([number]))
        os._exit(0)
    if os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]):
        raise RuntimeError("the photos could not be made")
    return sorted(folder.glob("*.jpg"))


def chunks_of(path: Path):
    """The photo as it arrives."""
    with path.open("rb") as file:
        while chunk := file.read(CHUNK):
            yield chunk


def main() -> int:
    """Measure, print, and answer 1 where more is used than allowed."""
    from concurrent.futures import ThreadPoolExecutor

    from jobs import process
    from jobs.photos import intake

    photos = photo_maker()
    size = photos[0].stat().st_size / 1e6
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "photos"
        small = io.BytesIO()
        Image.new("RGB", (40, 30), "olive").save(small, "JPEG")
        intake.take(root, [small.getvalue()])  # starts and warms a helper
        helpers = [helper.process.pid for helper in process.DECODING.helpers()]
        pids = {"this process": os.getpid()} | {f"helper {pid}": pid for pid in helpers}
        for pid in pids.values():
            forget_peak(pid)
        before = {name: peak_mb(pid) for name, pid in pids.items()}
        with ThreadPoolExecutor(4) as phones:  # more at once than there are helpers
            list(phones.map(lambda path: intake.take(root, chunks_of(path)), photos))
        after = {name: peak_mb(pid) for name, pid in pids.items()}
        same = helpers == [helper.process.pid for helper in process.DECODING.helpers()]
        process.DECODING.close()
    for path in photos:
        path.unlink()
    photos[0].parent.rmdir()
    print(
        f"{PHOTOS} photos of {WIDTH} x {HEIGHT}, {size:.1f} MB each;"
        f" one decoded: {ONE_DECODED_MB:.0f} MB"
    )
    missed = not same
    for name in pids:
        grown = after[name] - before[name]
        allowed = ALLOWED_HERE_MB if name == "this process" else ALLOWED_MB
        missed |= grown > allowed
        print(
            f"{name:16} before {before[name]:6.1f} MB, peak {after[name]:6.1f} MB,"
            f" grown by {grown:5.1f} MB, allowed {allowed:.1f} MB"
        )
    if not same:
        print("a helper was renewed meanwhile: what it used is not known")
    return 1 if missed else 0


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    import django

    django.setup()
    sys.exit(main())
