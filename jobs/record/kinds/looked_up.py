"""What is known of this model beforehand: recalls, bulletins, the trade's experience, looked up
where and with which result. Cited by number, never copied."""

from jobs.record.kind import Kind

KIND = Kind(code="looked_up", needs=frozenset({"what", "result"}))
