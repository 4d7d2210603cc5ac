"""Which style sheets make a page, and which a report. The order is the cascade's."""

_GROUND = ("css/tokens.css", "css/fonts.css", "css/base.css", "css/layout.css")
_MARKS = (
    "css/components/entry.css",
    "css/components/marks.css",
    "css/components/tables.css",
    "css/components/photos.css",
)

PAGE_STYLES: tuple[str, ...] = (
    *_GROUND,
    *_MARKS,
    "css/components/notice.css",
    "css/components/timetable.css",
    "css/components/form.css",
    "css/components/measure.css",
    "css/components/suspects.css",
    "css/print.css",
)
"""Every page of the application."""

REPORT_STYLES: tuple[str, ...] = (*_GROUND, *_MARKS, "css/report.css")
"""The findings report and other papers: the same for the preview and for the PDF."""

SHEETS: dict[str, tuple[str, ...]] = {"page": PAGE_STYLES, "report": REPORT_STYLES}
