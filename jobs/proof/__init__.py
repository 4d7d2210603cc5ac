"""Whether a part that was changed was ever shown to be at fault, from tests before and after."""
