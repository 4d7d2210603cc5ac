"""What a browser complains about, and what sticks out of a page."""

from __future__ import annotations

from typing import Any

REPORT_VIOLATIONS = """document.addEventListener("securitypolicyviolation", (event) =>
    console.error("policy: " + event.violatedDirective + " " + event.blockedURI));"""

STICKS_OUT = """(width) => {
    const out = [];
    if (document.documentElement.scrollWidth > width)
        for (const each of document.body.querySelectorAll("*")) {
            const box = each.getBoundingClientRect();
            if (box.width && box.right + scrollX > width + 1)
                out.push(`${each.tagName.toLowerCase()}.${each.className} to ${box.right}`);
        }
    return out.slice(0, 5);
}"""


def watched(page: Any) -> Any:
    """The page, which from now on keeps errors, refused requests and policy violations."""
    page.complaints = []
    page.add_init_script(REPORT_VIOLATIONS)
    page.on("pageerror", lambda error: page.complaints.append(str(error)))
    page.on(
        "console",
        lambda message: message.type == "error" and page.complaints.append(message.text),
    )
    page.on(
        "response",
        lambda answer: (
            answer.status >= 400
            and page.complaints.append(f"{answer.status} {answer.request.method} {answer.url}")
        ),
    )
    return page


def sticks_out(page: Any, width: int) -> list[str]:
    """Elements that make the page wider than the window, the page set to this width."""
    page.set_viewport_size({"width": width, "height": 844 if width < 600 else 900})
    return page.evaluate(STICKS_OUT, width)
