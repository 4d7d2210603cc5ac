"""The shop says which tools it has; what wants another is not offered as the next test."""

from __future__ import annotations

import pytest
from django.urls import reverse

from measurements.forms.tools import tools
from measurements.procedures import PROCEDURES
from shop.models import Profile

pytestmark = pytest.mark.django_db


def test_every_tool_of_every_test_is_on_the_list() -> None:
    asked = {tool for procedure in PROCEDURES.values() for tool in procedure.effort.tools}
    assert set(tools()) == asked


def test_at_first_the_shop_has_them_all(as_technician, shop) -> None:
    page = as_technician.get(reverse("tools")).content.decode()
    assert page.count(" checked") == len(tools())


def test_what_is_unticked_is_kept_as_lacking(as_technician, shop) -> None:
    lacking = "clamp meter"
    has = [tool for tool in tools() if tool != lacking]
    as_technician.post(reverse("tools"), {"has": has})
    assert Profile.current().lacks_tools == [lacking]
    assert as_technician.get(reverse("tools")).content.decode().count(" checked") == len(has)


def test_a_tool_that_no_test_asks_for_is_refused(as_technician, shop) -> None:
    answer = as_technician.post(reverse("tools"), {"has": ["crystal ball"]})
    assert answer.status_code == 422
    assert Profile.current().lacks_tools == []
