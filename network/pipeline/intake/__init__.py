"""How reports and tables of old readings come in."""
