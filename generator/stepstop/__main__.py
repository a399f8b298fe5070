"""`python -m stepstop`."""

from stepstop.cli import main

main()
