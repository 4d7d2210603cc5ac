"""Finds a changed, missing or reordered entry or photo."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError


class Command(BaseCommand):
    help = (
        "Checks the record against its hash chains (--record, seconds) and every stored photo "
        "and PDF against its name (--photos, reads every byte; goes on where it stopped)."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--record", action="store_true", help="entries, ledger, tables only")
        parser.add_argument("--photos", action="store_true", help="photos and PDFs only")
        parser.add_argument("--again", action="store_true", help="read photos from the beginning")

    def handle(self, *args: Any, **options: Any) -> None:
        from jobs.models import Blob, Entry, Ledger, Ticket

        both = options["record"] == options["photos"]
        found = 0
        if options["record"] or both:
            from jobs.record.verify import faults

            for fault in faults():
                found += 1
                self.stdout.write(str(fault))
            head = Ledger.objects.order_by("-seq").values_list("head", flat=True).first()
            self.stdout.write(
                f"Record: {Entry.objects.count()} entries on {Ticket.objects.count()} tickets, "
                f"ledger head {head[:16] if head else 'none'}."
            )
        if options["photos"] or both:
            from jobs.photos.verify import faults as photo_faults

            for fault in photo_faults(from_start=options["again"]):
                found += 1
                self.stdout.write(str(fault))
            self.stdout.write(f"Photos and PDFs: {Blob.objects.count()} originals read.")
        if found:
            raise CommandError(f"{found} faults found. Nothing was changed.", returncode=1)
        self.stdout.write("No fault found.")
