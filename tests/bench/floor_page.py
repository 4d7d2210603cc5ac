"""The floor of a page: a list of 50 rows with the usual filters, in a project that has only it.

`python -m tests.bench.floor_page ROUNDS` prints the processor milliseconds of one request in the
process, through sessions, sign-in, tokens, messages, htmx and whitenoise: what the framework costs.
"""

from __future__ import annotations

import datetime
import io
import os
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from typing import Any

ROWS = 50
TEMPLATES = {
    "base.html": """<!doctype html><html lang=en><head>
<title>{% block title %}{% endblock %}</title></head>
<body><header>{% if user.is_authenticated %}{{ user.username }}{% else %}Sign in{% endif %}
</header><main>{% block main %}{% endblock %}</main></body></html>""",
    "row.html": """<tr class="{% if t.status == 'open' %}o{% endif %}">
<td><a href="{% url 'one' t.pk %}">#{{ t.pk }}</a></td><td>{{ t.opened|date:"j M Y H:i" }}</td>
<td>{{ t.plate }}</td><td>{{ t.customer|title }}</td><td>{{ t.complaint|truncatewords:8 }}</td>
<td>{{ t.value|floatformat:2 }} V</td></tr>""",
    "list.html": """{% extends "base.html" %}{% block title %}Tickets{% endblock %}{% block main %}
<form>{% csrf_token %}</form><table>{% for t in tickets %}{% include "row.html" %}{% empty %}
<tr><td>none{% endfor %}</table>{% endblock %}""",
}
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
]
CONTEXT = [
    "django.template.context_processors.request",
    "django.contrib.auth.context_processors.auth",
    "django.contrib.messages.context_processors.messages",
]


def configure(file: str) -> None:
    """A project with nothing but this page."""
    import django
    from django.conf import settings

    loaders = [
        (
            "django.template.loaders.cached.Loader",
            [("django.template.loaders.locmem.Loader", TEMPLATES)],
        )
    ]
    settings.configure(
        SECRET_KEY="x" * 50,
        ALLOWED_HOSTS=["*"],
        ROOT_URLCONF="__main__",
        MIDDLEWARE=MIDDLEWARE,
        STATIC_URL="/static/",
        USE_TZ=True,
        INSTALLED_APPS=[
            "django.contrib.auth",
            "django.contrib.contenttypes",
            "django.contrib.sessions",
            "django.contrib.messages",
            "django_htmx",
        ],
        TEMPLATES=[
            {
                "BACKEND": "django.template.backends.django.DjangoTemplates",
                "DIRS": [],
                "OPTIONS": {"loaders": loaders, "context_processors": CONTEXT},
            }
        ],
        DATABASES={
            "default": {
                "ENGINE": "django.db.backends.sqlite3",
                "NAME": file,
                "CONN_MAX_AGE": None,
                "OPTIONS": {"transaction_mode": "IMMEDIATE"},
            }
        },
    )
    django.setup()


def fill(file: str) -> None:
    """Two thousand rows."""
    with sqlite3.connect(file) as database:
        database.execute(
            "CREATE TABLE t(id INTEGER PRIMARY KEY, status, opened, plate, customer, complaint,"
            " value)"
        )
        words = "rough idle when cold and a misfire on cylinder two under load"
        database.executemany(
            "INSERT INTO t VALUES(?, ?, ?, ?, ?, ?, ?)",
            (
                (
                    i,
                    "open" if i % 3 else "done",
                    f"2025-03-{1 + i % 28:02}T10:00:00",
                    f"P{i}",
                    f"customer {i}",
                    words,
                    i * 0.137,
                )
                for i in range(1, 2001)
            ),
        )


def rows(request: Any, pk: int | None = None) -> Any:
    """The page."""
    from django.db import connection
    from django.shortcuts import render

    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT id, status, opened, plate, customer, complaint, value FROM t"
            " ORDER BY id DESC LIMIT %s",
            [ROWS],
        )
        names = [column[0] for column in cursor.description]
        found = [dict(zip(names, row, strict=True)) for row in cursor.fetchall()]
    for row in found:
        row["pk"] = row["id"]
        row["opened"] = datetime.datetime.fromisoformat(row["opened"])
    return render(request, "list.html", {"tickets": found})


def addresses() -> list[Any]:
    """Made when asked for: this module is imported before there are settings."""
    from django.urls import path

    return [path("rows/", rows), path("one/<int:pk>/", rows, name="one")]


def processor_ms(application: Callable, path: str, rounds: int, cookie: str = "") -> float:
    """Median processor milliseconds of one request, in this process."""
    from django.test import RequestFactory

    spent = []
    for turn in range(rounds + 5):
        environ = RequestFactory().get(path, HTTP_HOST="localhost", HTTP_COOKIE=cookie).environ
        environ["wsgi.input"] = io.BytesIO()
        statuses: list[str] = []
        start = time.process_time()
        answer = application(environ, lambda status, headers, kept=statuses: kept.append(status))
        body = b"".join(answer)
        answer.close()
        if turn >= 5:  # the first ones load templates
            spent.append(1000 * (time.process_time() - start))
        if not statuses[0].startswith("200") or len(body) < 5_000:
            raise RuntimeError(f"{path} answered {statuses[0]} with {len(body)} bytes")
    return statistics.median(spent)


def main() -> None:
    """Print the floor."""
    with tempfile.TemporaryDirectory() as folder:
        file = os.path.join(folder, "floor.sqlite3")
        fill(file)
        configure(file)
        globals()["urlpatterns"] = addresses()
        from django.core.wsgi import get_wsgi_application

        print(processor_ms(get_wsgi_application(), "/rows/", int(sys.argv[1])))


if __name__ == "__main__":
    main()
