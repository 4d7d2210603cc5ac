"""What starting costs: `manage.py check` against that of an empty Django project, turn about.

Run by hand, on a machine that does nothing else: python -m tests.bench.bench_start
Counts the processor time of the whole process, and names the heavy libraries that it loads.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.live import ROOT, make_template, surroundings

ROUNDS = 9
TARGET = 2.0
HEAVY = (
    "numpy",
    "pint",
    "uncertainties",
    "weasyprint",
    "PIL",
    "pi_heif",
    "segno",
    "phonenumbers",
    "babel",
)
LOADED = f"""
import sys
sys.argv = ["manage.py", "check"]
import os
os.environ["DJANGO_SETTINGS_MODULE"] = "shop.settings"
from django.core.management import execute_from_command_line
execute_from_command_line(sys.argv)
print(*[name for name in {HEAVY!r} if name in sys.modules])
"""


def processor_seconds(folder: Path, environment: dict[str, str]) -> float:
    """Of one `manage.py check` in this project, with all that it starts."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(
        [sys.executable, "manage.py", "check"],
        cwd=folder,
        env=environment,
        check=True,
        capture_output=True,
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def empty_project(folder: Path) -> Path:
    """As Django's own command makes it: its admin and five more apps, no model of ours."""
    project = folder / "empty"
    project.mkdir()
    subprocess.run(
        [sys.executable, "-m", "django", "startproject", "empty", str(project)], check=True
    )
    return project


def main() -> int:
    """Measure, print, and answer 1 where the target is missed."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        ours = (ROOT, surroundings(make_template(folder)))
        bare = {k: v for k, v in os.environ.items() if k != "DJANGO_SETTINGS_MODULE"}
        empty = (empty_project(folder), bare)
        times: dict[str, list[float]] = {"empty project": [], "this one": []}
        for turn in range(ROUNDS + 1):
            for what, where in zip(times, (empty, ours), strict=True):
                spent = processor_seconds(*where)
                if turn:  # the first one writes bytecode
                    times[what].append(spent)
        done = subprocess.run(
            [sys.executable, "-c", LOADED],
            cwd=ROOT,
            env=ours[1],
            check=True,
            capture_output=True,
            text=True,
        )
    loaded = done.stdout.splitlines()[-1].split()
    for what, spent in times.items():
        print(
            f"manage.py check, {what:14}: {1000 * statistics.median(spent):5.0f} ms of processor"
            f" time, best {1000 * min(spent):.0f}"
        )
    ratio = statistics.median(times["this one"]) / statistics.median(times["empty project"])
    print(f"ratio {ratio:.2f}, target at most {TARGET}")
    print(f"heavy libraries loaded: {', '.join(loaded) or 'none'}")
    return 0 if ratio <= TARGET and not loaded else 1


if __name__ == "__main__":
    sys.exit(main())
