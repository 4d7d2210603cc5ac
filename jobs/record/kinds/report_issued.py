"""A findings report was issued; its content and PDF are named by their digests."""

from jobs.record.kind import Kind

KIND = Kind(
    code="report_issued",
    needs=frozenset({"number", "revision", "content_digest", "pdf_sha256", "made_from_seq"}),
)
