"""Effort: how many steps a walk costs, which of them tell nothing, and orders that cost less.

All callers of a rehearsal are carried through the pages at once, with the errors declared for them;
each answer goes wrong by itself. Proposals are made to authors: nothing is changed here.
"""
