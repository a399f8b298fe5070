"""What may be chosen for a rehearsal."""

HALVES = ("mended-on", "held-out")
"""Trees are mended on one half of the houses; the other shows whether that holds elsewhere."""
VARIATIONS = ("nothing", "weights", "errors", "history", "houses", "complaints")
"""What may be varied: weights of causes by three, errors doubled, no history told, other houses,
and all begin with no heat, no cooling or nothing responds, whatever their own complaint is."""
PAIRS = "pairs"
"""One more world, for the command alone: two faults at once, which belief does not reckon with."""
