"""What a test must know beside its readings; stored with the run, so it can be judged again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from measurements.core import plain
from measurements.core.decision import RISK
from measurements.core.instruments import Instrument
from measurements.core.procedure import Source


@dataclass(frozen=True)
class Engine:
    """Layout is "inline", "v", "flat" or "" if unknown; banks and firing order by number."""

    layout: str = ""
    cylinders: int = 4
    banks: tuple[tuple[int, ...], ...] = ()
    firing_order: tuple[int, ...] = ()


@dataclass(frozen=True)
class Car:
    """Facts of the car that change a test. fuel: "petrol", "diesel", ... or "" if unknown;
    region: country or state of its plate, "GB", "US-OH" ..., "" if unknown."""

    make: str = ""
    model: str = ""
    year: int | None = None
    volts: int = 12
    high_voltage: bool = False
    fuel: str = ""
    drive: str = ""
    engine: Engine = Engine()
    region: str = ""

    @property
    def has_engine(self) -> bool:
        """Something burns in it; true too where the fuel is not known."""
        return self.fuel not in ("electric", "fuel_cell")

    @property
    def is_diesel(self) -> bool:
        """It is known to burn diesel."""
        return self.fuel in ("diesel", "diesel_hybrid")


@dataclass(frozen=True)
class Ambient:
    """Air around the car with standard uncertainties. Pressure defaults to the standard atmosphere.

    The default u of 1.5 kPa covers the weather at a known altitude (judgement).
    """

    pressure_kpa: float = 101.325
    u_pressure_kpa: float = 1.5
    temperature_c: float | None = None
    u_temperature_k: float = 2.0


@dataclass(frozen=True)
class ChosenLimit:
    """A limit that the technician entered for this car or model, mostly the maker's.

    address: as in `procedure.Limit`; low and high in the stored unit of the quantity.
    """

    address: str
    low: float | None
    high: float | None
    source: Source


@dataclass(frozen=True)
class EarlierRun:
    """An earlier run of the same procedure on this car, read-only: typed readings by address."""

    uid: str
    measured_at: str
    typed: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Context:
    """Everything but the readings that `assess` may use.

    risk: chance of calling a reading within although it is not (`core.decision.RISK`);
    instruments: instrument kind -> the one that was used, a default where it is missing;
    fault_present: whether the complaint was happening just then;
    complaint_only_when: "hot" or "cold" if the complaint comes only then;
    state_of_car: what the engine was during the test;
    measured_on: day of the test, 2025-03-31, "" if unknown;
    weak_battery: what an earlier test of this visit found of the battery, in words, "" for nothing.
    """

    car: Car = Car()
    ambient: Ambient = Ambient()
    units: Literal["metric", "us", "imperial"] = "metric"
    risk: float = RISK
    limits: tuple[ChosenLimit, ...] = ()
    instruments: Mapping[str, Instrument] = field(default_factory=dict)
    fault_present: Literal["yes", "no", "unknown"] = "unknown"
    complaint_only_when: Literal["", "hot", "cold"] = ""
    state_of_car: Literal["", "cold", "hot", "driving"] = ""
    earlier: tuple[EarlierRun, ...] = ()
    measured_on: str = ""
    weak_battery: str = ""

    def instrument(self, kind: str) -> Instrument | None:
        """The instrument used for this kind of reading: the chosen one, else the default."""
        from measurements.core.instruments import default_instrument

        if not kind:
            return None
        return self.instruments.get(kind) or default_instrument(kind)

    def to_dict(self) -> dict[str, Any]:
        """Plain data, ready for JSON."""
        data: dict[str, Any] = plain.to_plain(self)
        return data

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> Context:
        """The context that `to_dict` stored; unknown keys are refused."""
        context: Context = plain.from_plain(cls, data)
        return context
