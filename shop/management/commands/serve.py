"""Serves Baywitness for real use."""

from __future__ import annotations

import sys
from argparse import ArgumentParser
from getpass import getpass
from typing import Any

from django.conf import settings
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError

from shop import environment, serving


class Command(BaseCommand):
    help = (
        "Serves the shop: makes the data folder and the first owner where they are missing, "
        "then answers on port 8000."
    )
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--host", default=serving.ANY_ADDRESS)

    def handle(self, *args: Any, port: int, host: str, **options: Any) -> None:
        from shop.models import Person, Profile

        serving.free_or_refuse(host, port)
        serving.prepare(self.say)
        if settings.DEMO or Profile.current().is_demo:
            raise CommandError(
                f"{settings.DATA} holds the demo shop. Name another folder in BAYWITNESS_DATA, or "
                "run: python3 manage.py demo"
            )
        if not Person.objects.exists():
            self.first_owner()
        serving.say_what_is_off(self.say)
        serving.announce(port, self.say)
        serving.run(host, port)

    def say(self, words: str) -> None:
        self.stdout.write(words)
        self.stdout.flush()

    def first_owner(self) -> None:
        """Ask for the shop and its owner, or take them from the environment."""
        from shop.actions import people

        self.say("First start: who owns the shop?")
        shop_name = self.ask("BAYWITNESS_SHOP_NAME", "Name of the shop")
        region = self.ask("BAYWITNESS_REGION", "Country, two letters (GB, US, DE ...)").upper()
        username = self.ask("BAYWITNESS_OWNER", "Your name")
        password = self.ask("BAYWITNESS_OWNER_PASSWORD", "A password, 12 signs or more", hide=True)
        try:
            validate_password(password)
            people.found_shop(
                shop_name=shop_name, region=region, username=username, password=password
            )
        except (ValidationError, ValueError) as fault:
            words = " ".join(getattr(fault, "messages", [str(fault)]))
            raise CommandError(f"Nothing was made: {words}") from fault
        self.say(f"Made the shop {shop_name} and its owner {username}.")

    def ask(self, variable: str, question: str, *, hide: bool = False) -> str:
        given = environment.text(variable)
        if given:
            return given
        if not sys.stdin.isatty():
            raise CommandError(f"{question}: set {variable}, or start it in a terminal.")
        while True:
            answer = (getpass if hide else input)(f"{question}: ").strip()
            if answer:
                return answer
