"""The map page: two days of maps that a browser draws by itself, and what it is at one's own gate."""
