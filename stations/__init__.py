"""Who measures what, and where: villages, households, stations and their history."""
