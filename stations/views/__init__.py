"""The pages of keepers: accounts, my stations, and registering one question at a time."""
