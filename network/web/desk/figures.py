"""How the desk writes a departure."""

from network.web.quantities import difference


def signed(variable: str, value: float) -> str:
    """A difference with its sign, which nought has not: '+34.4 °C'."""
    written = difference(variable, value)
    if not any(digit in "123456789" for digit in written):
        return written
    return f"{'−' if value < 0 else '+'}{written}"
