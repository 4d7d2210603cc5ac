"""Input that nobody should send, and the clear answer to it."""
