"""Stepstop compiles decision trees in YAML into proven, static question pages."""

__version__ = "0.1.0"
