"""Words of a swap: why it was made, what went in, what came of it."""

from django.utils.translation import gettext_lazy as _

from shop.words import table

SWAP_REASON = table(
    "swap_reason",
    ("pointed_to", _("pointed to by a test"), _("a test pointed to it")),
    ("worn_or_damaged", _("worn or damaged, seen"), _("it was worn or damaged, see the photo")),
    ("due", _("due by time or distance"), _("due by time or distance")),
    (
        "renewed_when_opened",
        _("must be renewed when opened"),
        _("it has to be renewed whenever it is opened"),
    ),
    ("customer_asks", _("customer asks"), _("you asked for it")),
    ("bulletin_or_recall", _("bulletin or recall"), _("a maker's bulletin or recall")),
    ("tried_as_test", _("tried as a test"), _("fitted to try whether the fault goes away")),
    ("none_of_these", _("none of these"), _("no test pointed to it")),
)
REASON_WITHOUT_GROUND = "none_of_these"

PART_CONDITION = table(
    "part_condition",
    ("new", _("new")),
    ("rebuilt", _("rebuilt")),
    ("used", _("used")),
)

SWAP_RUN_ROLE = table(
    "swap_run_role",
    ("pointed", _("pointed to by"), _("the test that pointed to it")),
    ("before", _("before"), _("measured before")),
    ("after", _("after"), _("measured after")),
)

SWAP_OUTCOME = table(
    "swap_outcome",
    (
        "not_present",
        _("not present in the repeat"),
        _("not present in the repeat of the test"),
        _("This holds for the day and the conditions of the repeat."),
    ),
    (
        "no_recurrence_yet",
        _("no recurrence yet"),
        _("it has not come back so far"),
        _("A fault that comes and goes needs several drives without it before that means much."),
    ),
    (
        "changed_not_cured",
        _("changed, not cured"),
        _("the readings changed, the fault is still there"),
        _("The part made a difference. Something else is at work too."),
    ),
    (
        "no_change",
        _("no change"),
        _("no change"),
        _("A new part can be bad as well, so this alone does not settle it."),
    ),
    (
        "worse",
        _("worse"),
        _("worse than before"),
        _("The repeat of the test was worse than the test before the change."),
    ),
    (
        "cannot_tell",
        _("cannot tell"),
        _("the repeat does not settle it"),
        _("The difference is too small for this instrument, or the conditions were not the same."),
    ),
    (
        "not_checked",
        _("not checked afterwards"),
        _("not measured again afterwards"),
        _("There is no reading from after the change."),
    ),
)

# What is known of a swap of this shop, never of another's.
STANDING = table(
    "standing",
    (
        "pointed_cured",
        _("pointed to and cured"),
        _(
            "The test pointed to this part. After the change the complaint was not present in the "
            "repeat of the test."
        ),
    ),
    (
        "pointed_not_cured",
        _("pointed to, not cured"),
        _("The test pointed to this part. Changing it did not cure the complaint."),
    ),
    (
        "not_settled",
        _("not settled yet"),
        _(
            "The test pointed to this part. Whether changing it put the complaint right is not "
            "known yet."
        ),
    ),
    ("not_pointed", _("no test pointed to it"), _("No test pointed to this part.")),
    (
        "not_checked",
        _("not checked afterwards"),
        _("The test pointed to this part. Nothing was measured after it was changed."),
    ),
)

# Why the tests before and after can't tell, or what must be known with an outcome. %(what)s: which.
PROOF_REASON = table(
    "proof_reason",
    ("conditions", _("The repeat was made under other conditions: %(what)s.")),
    (
        "too_uncertain",
        _("The difference is too small to be told from no change with this instrument: %(what)s."),
    ),
    (
        "disturbed",
        _(
            "Something else was moved or changed on the way: %(what)s. That alone may have put it "
            "right."
        ),
    ),
    ("doubt", _("What weakens these tests: %(what)s.")),
    (
        "absent_before",
        _(
            "The complaint was not there during the test before either, so that its absence "
            "afterwards shows nothing."
        ),
    ),
    (
        "unknown_before",
        _(
            "Whether the complaint was there during the test before is not noted, and the test "
            "itself saw nothing unusual."
        ),
    ),
    ("sound_before", _("The test before saw nothing unusual either.")),
    ("unknown_after", _("Whether the complaint was there during the repeat is not noted.")),
    ("undecided_before", _("The test before the change decides nothing.")),
    ("undecided_after", _("The test after the change decides nothing.")),
    (
        "still_seen",
        _("The complaint was not there during the repeat, but the test sees what it saw before."),
    ),
    ("no_before", _("There is no like test from before the change: %(what)s.")),
    ("came_back", _("It came back on a drive after the change.")),
)

DROVE = table(
    "drove",
    ("owner", _("the owner"), _("you")),
    ("shop", _("we"), _("we")),
    ("both", _("both"), _("you and we")),
    ("other", _("somebody else"), _("somebody else")),
)
