import pytest
from tests.jobs.pictures import made
pytestmark = pytest.mark.django_db
import os
def test_x(ticket, technician):
    for case in ("nothing_noticed",):
        fs=sorted(f for f in os.listdir("fixtures/readings/road_test") if "expected" not in f)
        print(fs)
    print(sorted(f for f in os.listdir("fixtures/readings/make_it_happen") if "expected" not in f))
    for proc, c in (("road_test", "not_reproduced_short"),("make_it_happen","stayed_away_three_of_eleven")):
        try:
            e=made(ticket, technician, proc, c)
        except FileNotFoundError as x:
            print(x); continue
        for r in e.run_link.run.readings.all(): print(r.address,r.row,r.column,r.typed,r.status,r.value)
        print(e.run_link.run.data["typed"]); print([(f.key,f.value) for f in e.run_link.run.figures.all()])
    assert 0
