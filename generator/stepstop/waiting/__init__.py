"""How long the house, the pipes and the people can wait: plain arithmetic with its sources.

Temperatures are in °F, times in hours. Nothing of the project is imported here.
"""
