"""A phone's browser on a real server."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.live import PASSWORD, Server, copied, make_template

FLAGS = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]
PHONE = {"width": 390, "height": 844}


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The template shop, made once."""
    return make_template(tmp_path_factory.mktemp("shop"))


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

    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        yield started
        started.close()


@pytest.fixture
def phone(browser, server: Server):
    """A phone-sized page, signed in as the technician; complaints of the browser are collected."""
    context = browser.new_context(viewport=PHONE, has_touch=True, is_mobile=True)
    page = context.new_page()
    page.complaints = []
    page.on("pageerror", lambda error: page.complaints.append(str(error)))
    page.on(
        "console",
        lambda message: message.type == "error" and page.complaints.append(message.text),
    )
    page.goto(f"{server.url}/sign-in/")
    page.fill("[name=username]", "tomas")
    page.fill("[name=password]", PASSWORD)
    page.click("main button")
    page.wait_for_url(f"{server.url}/")
    yield page
    context.close()
