"""Words of the record: kinds of entries, and how work that stays open stands."""

from django.utils.translation import gettext_lazy as _

from shop.words import table

ENTRY_KIND = table(
    "entry_kind",
    ("ticket_opened", _("Ticket opened"), _("Car received")),
    ("ticket_changed", _("Facts of the visit"), _("Facts of the visit")),
    ("state", _("State"), _("State")),
    ("complaint", _("Complaint"), _("What you reported")),
    ("wish", _("Wish"), _("What you asked for")),
    ("note", _("Note"), _("Note")),
    ("looked_up", _("Looked up"), _("Looked up")),
    ("photos", _("Photos"), _("Photos")),
    ("test", _("Test"), _("Test")),
    ("swap", _("Swap"), _("Part changed")),
    ("apart", _("Apart"), _("Opened or unplugged")),
    ("ticked_back", _("Ticked back"), _("Closed or plugged in again")),
    ("alteration", _("Alteration"), _("Change left on the car")),
    ("put_back", _("Put back"), _("Change put back")),
    ("finding", _("Finding"), _("Finding")),
    ("open_work", _("Open work"), _("Work not done yet")),
    ("opinion", _("Own judgement"), _("The technician's opinion")),
    ("judgement", _("Possible causes, kept"), _("Possible causes at that time")),
    ("not_appeared", _("Did not appear"), _("The fault did not appear")),
    ("drives", _("Drives since the repair"), _("Drives since the repair")),
    ("starting_odds", _("Starting odds"), _("What this workshop has seen before")),
    ("report_issued", _("Report issued"), _("Report issued")),
    ("withdrawn", _("Taken back"), _("Entry taken back")),
)

OPEN_WORK_STATUS = table(
    "open_work_status",
    ("open", _("open"), _("still to do")),
    ("declined", _("declined"), _("You chose not to do this today.")),
    ("done", _("done"), _("done")),
)
