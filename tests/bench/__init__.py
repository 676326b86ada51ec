"""Speed and size of the hub, each beside an honest reference measured in the same run: ``make bench``."""
