#!/usr/bin/env python3
"""Starts everything: makes the environment on first use, then runs the command."""

import os
import sys

import shop  # refuses a Python that is too old, in one sentence
from shop import bootstrap


def main():
    """Run the command that was typed, in the environment of the lock."""
    bootstrap.ensure(sys.argv)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", shop.SETTINGS)
    try:
        from django.core.management import execute_from_command_line
    except ImportError:
        sys.exit(bootstrap.DJANGO_IS_MISSING)
    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
