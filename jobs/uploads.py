"""A limit on what is written to disk of an upload: Django itself has none."""

from __future__ import annotations

from typing import Any

from django.core.files.uploadhandler import FileUploadHandler, StopUpload

from jobs.photos.limits import PHOTO
from measurements.core.logs.text import LARGEST_BYTES
from measurements.forms.log_boxes import UPLOAD

LARGEST_REQUEST = PHOTO.per_request * PHOTO.max_bytes


class SizeLimit(FileUploadHandler):
    """Passes on no more of a file than its limit and one chunk: enough for the store to see that
    it is too large and say so, while the text that came with it is kept. Stands before the
    handlers that store. A sender without end is cut off."""

    def __init__(self, request: Any = None) -> None:
        super().__init__(request)
        self.received = 0
        self.kept = 0
        self.limit = PHOTO.max_bytes

    def new_file(self, field_name: str, *args: Any, **kwargs: Any) -> None:
        super().new_file(field_name, *args, **kwargs)
        self.kept = 0
        # fields of photos and fields of data logs have names of their own
        self.limit = LARGEST_BYTES if field_name.startswith(UPLOAD) else PHOTO.max_bytes

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes | None:
        """The chunk for the handlers that store, or nothing once the file is too large."""
        self.received += len(raw_data)
        if self.received > LARGEST_REQUEST:
            raise StopUpload(connection_reset=True)
        if self.kept > self.limit:
            return None
        self.kept += len(raw_data)
        return raw_data

    def file_complete(self, file_size: int) -> None:
        """Nothing of its own to give: the storing handlers have the file."""
        return
