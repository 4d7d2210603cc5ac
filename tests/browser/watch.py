"""What a browser complains about, and what sticks out of a page."""

from __future__ import annotations

from typing import Any

REPORT_VIOLATIONS = """document.addEventListener("securitypolicyviolation", (event) =>
    console.error("policy: " + event.violatedDirective + " " + event.blockedURI));"""

STICKS_OUT = """(width) => {
    const said = (each) => `${each.tagName}.${each.getAttribute("class")}`;
    const how = (each) => getComputedStyle(each).overflowX;
    const scrolls = (each) =>
        each && (["auto", "scroll"].includes(how(each)) || scrolls(each.parentElement));
    const out = [], whole = document.documentElement.scrollWidth;
    if (whole > width) out.push(`the page is ${whole} px wide`);
    for (const each of document.body.querySelectorAll("*")) {
        const box = each.getBoundingClientRect();
        if (box.width < 2 || box.height < 2 || each.closest(".away")) continue;
        if (box.right + scrollX > width + 1 && !scrolls(each.parentElement))
            out.push(`${said(each)} reaches to ${box.right}`);
        if (each.matches("input, select, textarea")) continue; // what is typed scrolls in its box
        if (["clip", "hidden"].includes(how(each)) && each.scrollWidth > each.clientWidth + 1)
            out.push(`${said(each)} cuts off ${each.scrollWidth - each.clientWidth} px`);
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
    """What reaches beyond a window of this width, or is cut off; not what scrolls by itself."""
    page.set_viewport_size({"width": width, "height": 844 if width < 600 else 900})
    return page.evaluate(STICKS_OUT, width)
