"""The one register of people's words for closed codes, technician's and customer's.

`words.technician("waits_for", "part")` or `words.WAITS_FOR.technician("part")`. What a customer
reads comes from the customer's side alone; a code never reaches paper.
"""

from jobs.words import (
    alteration,
    complaint,
    finding,
    looked_up,
    not_appeared,
    photo,
    record,
    report,
    suspects,
    swap,
    ticket,
)
from jobs.words.alteration import AFFECTS, EMISSIONS_LAW
from jobs.words.complaint import (
    CONDITION,
    CONDITIONS,
    DONT_KNOW,
    FAMILY,
    FIRST_CALL_REQUEST,
    NOT_ASKED,
    RED_FLAG,
    RED_FLAG_ADVICE,
    Condition,
    ConditionError,
    asked_but_unknown,
    condition_order,
    first_conditions,
    read_conditions,
    said,
)
from jobs.words.finding import (
    CERTAINTY,
    DRIVING_ADVICE,
    FAULT_PRESENT,
    VERDICT,
    advice_sentence,
    strictest,
    verdict_phrase,
    verdict_word,
)
from jobs.words.looked_up import LOOKED_UP, LOOKED_UP_RESULT
from jobs.words.photo import PHOTO_SUBJECT, SUBJECTS_WITH_CYLINDER, photo_words, place_words
from jobs.words.record import ENTRY_KIND, OPEN_WORK_STATUS
from jobs.words.report import SENTENCE, sentence
from jobs.words.suspects import LEFT_OUT, STRENGTH
from jobs.words.swap import (
    DROVE,
    PART_CONDITION,
    PROOF_REASON,
    REASON_WITHOUT_GROUND,
    STANDING,
    SWAP_OUTCOME,
    SWAP_REASON,
    SWAP_RUN_ROLE,
)
from jobs.words.ticket import (
    ARRIVAL,
    FUEL_LEVEL,
    LAMP,
    LAST_CHECK,
    TICKET_PART,
    TICKET_STATE,
    WAITS_FOR,
)
from shop.words import (
    CONTACT_WAY,
    DRIVE,
    FUEL,
    FUELS_WITHOUT_ENGINE,
    GEARBOX,
    HIGH_VOLTAGE_FUELS,
    ROLE,
    Table,
    UnknownCode,
    Word,
)
from shop.words import TABLES as _SHOP_TABLES

TABLES: dict[str, Table] = dict(_SHOP_TABLES)
for _module in (
    alteration,
    complaint,
    finding,
    looked_up,
    not_appeared,
    photo,
    record,
    report,
    suspects,
    swap,
    ticket,
):
    TABLES |= {found.name: found for found in vars(_module).values() if isinstance(found, Table)}
TABLES |= {condition.answers.name: condition.answers for condition in CONDITIONS.values()}

__all__ = [
    "AFFECTS",
    "ARRIVAL",
    "CERTAINTY",
    "CONDITION",
    "CONDITIONS",
    "CONTACT_WAY",
    "DONT_KNOW",
    "DRIVE",
    "DRIVING_ADVICE",
    "DROVE",
    "EMISSIONS_LAW",
    "ENTRY_KIND",
    "FAMILY",
    "FAULT_PRESENT",
    "FIRST_CALL_REQUEST",
    "FUEL",
    "FUELS_WITHOUT_ENGINE",
    "FUEL_LEVEL",
    "GEARBOX",
    "HIGH_VOLTAGE_FUELS",
    "LAMP",
    "LAST_CHECK",
    "LEFT_OUT",
    "LOOKED_UP",
    "LOOKED_UP_RESULT",
    "NOT_ASKED",
    "OPEN_WORK_STATUS",
    "PART_CONDITION",
    "PHOTO_SUBJECT",
    "PROOF_REASON",
    "REASON_WITHOUT_GROUND",
    "RED_FLAG",
    "RED_FLAG_ADVICE",
    "ROLE",
    "SENTENCE",
    "STANDING",
    "STRENGTH",
    "SUBJECTS_WITH_CYLINDER",
    "SWAP_OUTCOME",
    "SWAP_REASON",
    "SWAP_RUN_ROLE",
    "TABLES",
    "TICKET_PART",
    "TICKET_STATE",
    "VERDICT",
    "WAITS_FOR",
    "Condition",
    "ConditionError",
    "Table",
    "UnknownCode",
    "Word",
    "advice_sentence",
    "asked_but_unknown",
    "condition_order",
    "customer",
    "first_conditions",
    "meaning",
    "photo_words",
    "place_words",
    "read_conditions",
    "said",
    "sentence",
    "strictest",
    "table",
    "technician",
    "verdict_phrase",
    "verdict_word",
]


def table(name: str) -> Table:
    """The table with this name; raises UnknownCode."""
    try:
        return TABLES[name]
    except KeyError:
        raise UnknownCode("the register of words", name) from None


def technician(name: str, code: str) -> str:
    """The technician's word for a code of a table; raises UnknownCode."""
    return table(name).technician(code)


def customer(name: str, code: str) -> str:
    """The customer's word for a code of a table; raises UnknownCode."""
    return table(name).customer(code)


def meaning(name: str, code: str) -> str:
    """The sentence that explains a code of a table, or nothing; raises UnknownCode."""
    return table(name).meaning(code)
