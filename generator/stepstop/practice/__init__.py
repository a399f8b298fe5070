"""Practice for agents: a simulated caller on the line, and what was true told at the end."""
