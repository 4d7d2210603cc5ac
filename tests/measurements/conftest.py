"""Property tests here are bounded by their examples, not by the clock of a shared machine."""

from hypothesis import settings

settings.register_profile("no_clock", deadline=None)
settings.load_profile("no_clock")
