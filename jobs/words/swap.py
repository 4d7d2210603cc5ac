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
        _("the readings changed, the complaint is still there"),
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
    ("not_pointed", _("no test pointed to it"), _("No test pointed to this part.")),
    (
        "not_checked",
        _("not checked afterwards"),
        _("Nothing was measured after this part was changed."),
    ),
)
