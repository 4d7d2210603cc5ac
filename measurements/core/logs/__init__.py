"""Data logs: a file of columns over time, read, searched for events, put in bands and drawn.

numpy is imported inside the functions that need it: most pages never do.
"""
