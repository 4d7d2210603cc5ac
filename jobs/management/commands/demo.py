"""The demo shop: fills a folder of its own and serves it."""

from __future__ import annotations

import os
import secrets
import sys
from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from shop import serving

SYLLABLES = [a + b for a in "bdfglmnpr" for b in "aeo"]


class Command(BaseCommand):
    help = "Makes the demo shop in a folder of its own, prints address and sign-in, and serves it."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--host", default=serving.ANY_ADDRESS)
        parser.add_argument("--only-fill", action="store_true", help="make it, but don't serve")

    def handle(self, *args: Any, port: int, host: str, only_fill: bool, **options: Any) -> None:
        if not settings.DEMO:
            # Settings choose the data folder when they load: begin again with the demo's.
            os.environ["BAYWITNESS_DEMO"] = "1"
            os.execv(sys.executable, [sys.executable, *sys.argv])
        if not only_fill:
            serving.free_or_refuse(host, port)
        serving.prepare(self.say)
        serving.say_what_is_off(self.say)
        self.fill()
        people = self.new_passwords()
        if only_fill:
            return
        serving.announce(port, self.say)
        self.say("Sign in as (the passwords are new at each start):")
        for person, password in people:
            self.say(f"    {person.username:<10} {password}    {person.name}, {person.role}")
        self.say("")
        serving.run(host, port)

    def say(self, words: str) -> None:
        self.stdout.write(words)
        self.stdout.flush()

    def fill(self) -> None:
        """Tell the story once; a half-told one is refused, with the remedy."""
        from jobs.demo import Story
        from jobs.models import Ticket
        from shop.models import Person, Profile

        done = settings.DATA / "demo-told"
        if done.exists():
            self.say("The demo shop is there already.")
            return
        if Person.objects.exists() and not Profile.current().is_demo:
            raise CommandError(
                f"{settings.DATA} holds a real shop. Name an empty folder in BAYWITNESS_DATA."
            )
        if Ticket.objects.exists() or Person.objects.exists():
            raise CommandError(
                f"An earlier start was interrupted. Delete the folder {settings.DATA} and start "
                "again: it holds nothing but the half-made demo."
            )
        self.say("Filling the demo shop ...")
        Story().tell(self.say)
        done.write_text("1", "ascii")

    def new_passwords(self) -> list[tuple[Any, str]]:
        """A new random password for each person of the demo: nothing lasting is printed."""
        from shop.models import Person

        people = []
        for person in Person.objects.at_work().order_by("pk"):
            password = "-".join(
                "".join(secrets.choice(SYLLABLES) for _ in range(3)) for _ in range(3)
            )
            person.set_password(password)
            person.save(update_fields=["password"])
            people.append((person, password))
        return people
