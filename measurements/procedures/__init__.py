"""All procedures: this folder is walked once, and each module's PROCEDURE is collected."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Mapping

from measurements.core.procedure import DeclarationError, Procedure


class UnknownProcedureError(ValueError):
    """There is no procedure of this name; the message lists those that there are."""

    def __init__(self, name: str) -> None:
        super().__init__(f"there is no procedure {name[:40]!r}; known are {', '.join(PROCEDURES)}")


def _collect() -> Mapping[str, Procedure]:
    found = []
    for module in pkgutil.iter_modules(__path__):
        if module.name.startswith("_"):
            continue
        procedure = getattr(importlib.import_module(f"{__name__}.{module.name}"), "PROCEDURE", None)
        if not isinstance(procedure, Procedure):
            raise DeclarationError(module.name, f"{module.name}.py has no PROCEDURE")
        if procedure.name != module.name:
            raise DeclarationError(
                procedure.name, f"its name and its file {module.name}.py must be the same"
            )
        found.append(procedure)
    found.sort(key=lambda procedure: (procedure.group, procedure.title))
    return {procedure.name: procedure for procedure in found}


PROCEDURES: Mapping[str, Procedure] = _collect()
"""Name -> procedure, in the order of groups and titles."""


def procedure_called(name: str) -> Procedure:
    """The procedure of this name; raises UnknownProcedureError."""
    if name not in PROCEDURES:
        raise UnknownProcedureError(name)
    return PROCEDURES[name]
