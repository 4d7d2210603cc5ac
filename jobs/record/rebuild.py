"""Makes every table that is read from entries and runs again."""

from __future__ import annotations

from django.db import models, transaction

from jobs.models import Entry, PhotoChoice, Ticket
from jobs.record.append import fold, rows_of, set_columns
from jobs.record.kind import Find, kind_of
from jobs.record.verify import projection_models


@transaction.atomic
def rebuild() -> int:
    """Delete the projections and read them from the record; gives the number of entries read.

    What is chosen of photos for reports is no projection, and is kept.
    """
    from measurements.actions import runs
    from measurements.models import Run

    kept = {
        (str(choice.photo.entry.uid), choice.photo.letter): (choice.in_report, choice.position)
        for choice in PhotoChoice.objects.select_related("photo__entry")
    }
    tables = projection_models()
    while tables:
        # A table that others point at goes after them.
        free = [t for t in tables if not any(_points_at(o, t) for o in tables if o is not t)]
        for table in free:
            table.objects.all().delete()
        tables = [table for table in tables if table not in free]
    for run in Run.objects.iterator(chunk_size=500):
        runs.rebuild(run)
    find, read = Find(), 0
    for entry in Entry.objects.select_related("ticket", "payload").order_by("ticket", "seq"):
        for row in rows_of(kind_of(entry.kind), entry, find):
            row.save(force_insert=True)
        read += 1
    for ticket in Ticket.objects.all():
        set_columns(ticket, fold(ticket, find))
    for frame, (in_report, position) in kept.items():
        if photo := find.photo(list(frame)):
            PhotoChoice.objects.create(photo_id=photo, in_report=in_report, position=position)
    return read


def _points_at(table: type[models.Model], other: type[models.Model]) -> bool:
    return any(field.related_model is other for field in table._meta.concrete_fields)
