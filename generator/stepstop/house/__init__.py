"""A simulated house: its control circuit, how its units start, its faults, and what a person meets.

Nothing here knows of trees or pages. Only this room knows electricity.
"""
