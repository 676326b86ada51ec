"""The hub in a real browser, as neighbours and stewards use it."""
