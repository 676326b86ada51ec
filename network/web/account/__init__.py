"""A person's own account, and what a household asks to be done with all that it has here."""
