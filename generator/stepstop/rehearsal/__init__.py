"""Rehearsal: simulated homeowners walk the very trees that are published.

Exact by propagating the shares of all callers through the journey, with sampled calls as a
cross-check. Whether an end is right is judged by a table that was written without the trees.
"""
