"""One module for each kind of entry; its name is the kind's code."""
