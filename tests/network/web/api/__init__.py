"""The API, asked as a reader's program would."""
