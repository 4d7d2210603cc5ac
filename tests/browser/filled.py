"""A shop in which every kind of entry occurs, with the numbers that its pages' addresses need.

Runs inside the server's own settings: `manage.py shell -c` calls `fill`.
"""

from __future__ import annotations

import json
from pathlib import Path

TOLD = {"packhorse-cranks", "yarrow-coolant"}  # between them they hold every kind of entry


def fill(to: Path) -> None:
    """Tell part of the demo's story, then write the numbers, by name, to this file."""
    from jobs.demo import Story

    story = Story()
    story.text["tickets"] = [told for told in story.text["tickets"] if told["key"] in TOLD]
    story.tell()
    to.write_text(json.dumps(_numbers(story)), "utf-8")


def _numbers(story) -> dict[str, str]:
    from jobs.actions import apart, tickets
    from measurements.models import Instrument

    van = story.tickets["packhorse-cranks"]
    entries = story.entries
    van.refresh_from_db()
    owner = story.people["maren"]
    opened = apart.take_apart(ticket=van, what="Cover of the battery", by=owner)
    wish = tickets.add_wish(ticket=van, words="Look at the wipers too.", by=owner)
    found = {
        "ticket": van.number,
        "estate": story.tickets["yarrow-coolant"].number,
        "car": van.car.pk,
        "customer": van.customer.pk,
        "person": owner.pk,
        "instrument": Instrument.objects.earliest("pk").pk,
        "apart": opened.apart.uid,
        "alteration": entries["packhorse-second-lead"].alteration.uid,
        "complaint": entries["packhorse-slow"].seq,
        "wish": wish.seq,
        "swap": entries["packhorse-strap"].seq,
        "elsewhere": van.entries.filter(kind="swap").earliest("seq").seq,
        "finding": entries["packhorse-finding-strap"].seq,
        "open_work": van.entries.filter(kind="open_work").get().seq,
        "drop": entries["packhorse-ground-after"].seq,
        "charging": entries["packhorse-charging"].seq,
        "hold": entries["yarrow-hold-cold"].seq,
        "frame": story.frames["packhorse_strap_corroded.jpg"].frame,
    }
    return {name: str(number) for name, number in found.items()}


def begin(to: Path) -> None:
    """Tell the demo's story of the van up to what the customer and the driver say: parts that
    others fitted, and no test yet. Writes the ticket's number and the complaint's."""
    from jobs.demo import Story

    story = Story()
    story.text["tickets"] = [t for t in story.text["tickets"] if t["key"] == "packhorse-cranks"]
    for told in story.text["tickets"]:
        told["events"] = [
            event for event in told["events"] if event["kind"] in {"complaint", "fitted_elsewhere"}
        ]
    story.tell()
    numbers = {
        "ticket": story.tickets["packhorse-cranks"].number,
        "complaint": story.entries["packhorse-slow"].seq,
    }
    to.write_text(json.dumps({name: str(n) for name, n in numbers.items()}), "utf-8")
