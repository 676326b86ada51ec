"""Accounts, and what a household asks to be done with what it has here."""
