"""POST /api/reports, as small boards use and misuse it."""
