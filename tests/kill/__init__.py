"""The server is killed while it writes, and written to by many at once."""
