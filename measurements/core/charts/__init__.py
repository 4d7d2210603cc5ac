"""One module for each kind of chart; `draw(data, earlier, ground)` gives its sheet."""
