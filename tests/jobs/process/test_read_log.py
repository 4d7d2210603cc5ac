"""A log is read in the helper process: the same columns, the same refusals, within its limits."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from jobs import process
from jobs.process.failures import HelperUnavailable
from jobs.process.pool import HelperEnded, HelperTooSlow
from measurements.core.logs.columns import Wanted, read_columns
from measurements.core.logs.file import open_log
from measurements.core.logs.text import LogRefused
from tests.measurements.readings_files import FOLDER

LOGS = sorted((FOLDER / "data_log").glob("*.csv"))
WANTED = {"time": Wanted(0), "watched": Wanted(1, 1000.0, 1.5)}


@pytest.fixture(autouse=True, scope="module")
def helper():
    yield
    process.READING.close()


@pytest.mark.parametrize("path", LOGS, ids=lambda path: path.stem)
def test_the_helper_reads_what_we_would(path: Path) -> None:
    text = open_log(path).text
    here, there = read_columns(path, text, WANTED), process.read_log(path, text, WANTED)
    assert (there.rows, there.bad, there.bad_count) == (here.rows, here.bad, here.bad_count)
    for key in WANTED:
        assert np.array_equal(there.columns[key], here.columns[key], equal_nan=True)


def test_a_refusal_comes_back_in_its_own_words(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text("t,v\n0,1\n1,2\n")
    text = open_log(path).text
    path.write_text("t,v\nx,y\n")
    with pytest.raises(LogRefused, match="Not one row could be read"):
        process.read_log(path, text, WANTED)


@pytest.mark.parametrize(
    ("fault", "said"),
    [
        (HelperTooSlow(), "took more than 40 s or 768 MB"),
        (HelperEnded(-24), "took more than 40 s or 768 MB"),
        (HelperEnded(-9), "was interrupted"),
        (HelperUnavailable("busy"), "Try again in a minute"),
    ],
    ids=["slow", "processor time", "ended", "busy"],
)
def test_a_helper_that_gives_no_answer_is_a_sentence(
    fault: Exception, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def ask(head: object, body: bytes = b"") -> None:
        raise fault

    monkeypatch.setattr(process.READING, "ask", ask)
    with pytest.raises(LogRefused, match=said):
        process.read_log(LOGS[0], open_log(LOGS[0]).text, WANTED)


def test_what_needs_more_memory_than_it_may_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "log.csv"
    path.write_text("t,v\n" + "".join(f"{n},12.5\n" for n in range(400_000)))
    text = open_log(path).text
    process.READING.close()
    little = process.READ_LOG.__class__(200 * 2**20, 40, 60)
    monkeypatch.setattr(process.READING, "limits", little)
    with pytest.raises(LogRefused, match="took more than"):
        process.read_log(path, text, {f"c{n}": Wanted(1) for n in range(60)})
    process.READING.close()
