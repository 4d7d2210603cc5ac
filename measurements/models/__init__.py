"""Recorded tests, the instruments they were made with, and the limits kept for cars."""

from measurements.models.instrument import Instrument, InstrumentCheck
from measurements.models.limit import Limit
from measurements.models.run import Figure, Reading, Run, RunSummary

__all__ = ["Figure", "Instrument", "InstrumentCheck", "Limit", "Reading", "Run", "RunSummary"]
