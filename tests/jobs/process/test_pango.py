"""Where system libraries are missing, all are named, with the one command that brings them."""

import subprocess
import sys

import pytest

from jobs.process import failures, pango
from shop import bootstrap


def test_every_missing_library_is_named_not_only_the_first(monkeypatch):
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(bootstrap, "loads", lambda name: "gobject" in name)
    assert pango.missing_libraries() == [
        name for name in bootstrap.PANGO_LIBRARIES if "gobject" not in name
    ]


def test_nothing_is_missing_where_all_load(monkeypatch):
    monkeypatch.setattr(bootstrap, "loads", lambda name: True)
    assert pango.missing_libraries() == []


@pytest.mark.parametrize(
    ("system", "command"),
    [
        (["debian"], "apt-get install -y --no-install-recommends libpango-1.0-0"),
        (["ubuntu", "debian"], "apt-get install -y --no-install-recommends libpango-1.0-0"),
        (["fedora"], "dnf install -y pango"),
        (["alpine"], "apk add so:libgobject-2.0.so.0"),
    ],
)
def test_the_command_is_this_systems(monkeypatch, system, command):
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(bootstrap, "this_system", lambda: system)
    assert command in pango.install_command()


def test_on_a_mac_the_command_is_homebrews(monkeypatch):
    monkeypatch.setattr(sys, "platform", "darwin")
    assert pango.install_command() == "brew install pango"


def test_the_sentence_names_libraries_and_command():
    told = str(failures.PangoMissing(missing="liba, libb", command="sudo apt install x"))
    assert "liba, libb" in told and "sudo apt install x" in told


def test_asking_loads_no_part_of_pdf_making():
    code = (
        "import sys; from jobs.process.pango import missing_libraries; missing_libraries(); "
        "print([m for m in ('PIL', 'weasyprint', 'cffi') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        cwd=bootstrap.__file__.rpartition("/shop/")[0],
    )
    assert done.stdout.strip() == "[]"
