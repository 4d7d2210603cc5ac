"""The shop: its profile, people, customers and cars; settings and addresses of the project."""

import sys

# Old Pythons must get as far as this sentence: nothing newer than Python 2.7 stands in this file.
OLDEST_PYTHON = (3, 11)
SETTINGS = "shop.settings"

if sys.version_info < OLDEST_PYTHON:
    sys.exit(
        "Baywitness needs Python %d.%d or newer, and this is Python %d.%d. "
        "Start it with a newer one, for instance: python3.13 manage.py demo"
        % (OLDEST_PYTHON + tuple(sys.version_info[:2]))
    )
