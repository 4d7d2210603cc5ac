"""A phone's browser on a real server."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from tests.browser.watch import watched
from tests.live import PASSWORD, Server, copied, manage, shared_template

FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PHONE = {"width": 390, "height": 844}


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The template shop, made once."""
    return shared_template(tmp_path_factory)


@pytest.fixture
def server(template: Path, tmp_path: Path) -> Iterator[Server]:
    """A server of its own for each test."""
    running = Server(copied(template, tmp_path / "live")).start()
    yield running
    running.stop()


@pytest.fixture(scope="session")
def browser(chromium: str):
    """Headless Chromium of the system."""
    from playwright.sync_api import sync_playwright

    # Playwright leaves an event loop running on this thread, which Django takes for an
    # asynchronous view in every database test that comes after on the same worker.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "1"
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        yield started
        started.close()


@pytest.fixture
def phone(browser, server: Server):
    """A phone-sized page, signed in as the technician; complaints of the browser are collected."""
    page = phone_page(browser, server)
    yield page
    page.context.close()


def phone_page(browser: Any, server: Server, username: str = "tomas", **options: Any) -> Any:
    """The same on any server, with further options of the browser's context."""
    context = browser.new_context(viewport=PHONE, has_touch=True, is_mobile=True, **options)
    context.set_default_timeout(15_000)
    page = watched(context.new_page())
    sign_in(page, server, username)
    return page


def sign_in(page: Any, server: Server, username: str) -> None:
    """Through the door, to the home page."""
    page.goto(f"{server.url}/sign-in/")
    page.fill("[name=username]", username)
    page.fill("[name=password]", PASSWORD)
    page.click("main button")
    page.wait_for_url(f"{server.url}/")


@dataclass
class Filled:
    """A running shop in which every kind of entry occurs; read it, don't write to it."""

    server: Server
    numbers: dict[str, str]

    def address(self, path: str) -> str:
        """The whole address of a path such as /tickets/{ticket}/."""
        return self.server.url + path.format(**self.numbers)


@pytest.fixture(scope="session")
def filled(template: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Filled]:
    """The filled shop, made once."""
    data = copied(template, tmp_path_factory.mktemp("filled") / "live")
    to = data / "numbers.json"
    manage(
        data,
        "shell",
        "-c",
        f"from pathlib import Path; from tests.browser.filled import fill; fill(Path({str(to)!r}))",
    )
    server = Server(data).start()
    yield Filled(server, json.loads(to.read_text("utf-8")))
    server.stop()


@pytest.fixture(scope="session")
def reader(browser, filled: Filled):
    """A page of the filled shop, signed in as the owner, who may see all of it."""
    context = browser.new_context(viewport=PHONE)
    page = watched(context.new_page())
    sign_in(page, filled.server, "nell")
    yield page
    context.close()
