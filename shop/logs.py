"""Log lines: one line each, UTC, no control characters, no personal data beyond a row's number."""

import logging
from datetime import UTC, datetime


class LineFormatter(logging.Formatter):
    """Time, level, logger and message on one line; what was typed can't forge a second one."""

    def format(self, record: logging.LogRecord) -> str:
        """The line, with control characters shown by their code."""
        at = datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds")
        message = record.getMessage()
        plain = "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in message)
        line = f"{at} {record.levelname} {record.name} {plain}"
        if record.exc_info:
            line += "\n" + self.formatException(record.exc_info)
        return line
