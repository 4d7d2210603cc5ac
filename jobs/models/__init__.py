"""Tickets, their record, and the tables that are read from it. One subject a file."""

from jobs.models.alteration import Alteration, PutBack
from jobs.models.apart import Apart, TickedBack
from jobs.models.blob import Blob
from jobs.models.complaint import Complaint, Wish
from jobs.models.draft import Draft
from jobs.models.entry import Entry, Ledger, Payload
from jobs.models.finding import Finding, FindingBasis
from jobs.models.open_work import OpenWork
from jobs.models.photo import Photo, PhotoChoice
from jobs.models.report import Report
from jobs.models.run_link import RunLink
from jobs.models.suspicion import Judgement, Opinion, StartingOdds
from jobs.models.swap import Swap, SwapRun
from jobs.models.ticket import Ticket, TicketPerson

__all__ = [
    "Alteration",
    "Apart",
    "Blob",
    "Complaint",
    "Draft",
    "Entry",
    "Finding",
    "FindingBasis",
    "Judgement",
    "Ledger",
    "OpenWork",
    "Opinion",
    "Payload",
    "Photo",
    "PhotoChoice",
    "PutBack",
    "Report",
    "RunLink",
    "StartingOdds",
    "Swap",
    "SwapRun",
    "TickedBack",
    "Ticket",
    "TicketPerson",
    "Wish",
]
