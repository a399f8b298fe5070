"""Practice for agents: a simulated caller on the line, and what was true told at the end."""

MANNERS = {"right": "accurate", "vague": "unsure", "misleading": "mistaken"}
"""How a caller tells things -> the model of errors that they are drawn with."""
