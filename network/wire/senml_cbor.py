"""SenML in CBOR: the same records as in JSON, with small numbers in the place of their labels.

Source: Jennings et al. (2018), RFC 8428, section 6, table 4.
"""

from decimal import Decimal
from fractions import Fraction

import cbor2

from network.wire import senml
from network.wire.said import Message, NotUnderstood

CONTENT_TYPE = "application/senml+cbor"
SELF_DESCRIBED = b"\xd9\xd9\xf7"
"""The tag that may stand before any CBOR (RFC 8949, section 3.4.6)."""

LABELS = {
    -1: "bver",
    -2: "bn",
    -3: "bt",
    -4: "bu",
    -5: "bv",
    -6: "bs",
    0: "n",
    1: "u",
    2: "v",
    3: "vs",
    4: "vb",
    5: "s",
    6: "t",
    7: "ut",
    8: "vd",
}


def looks_like(body: bytes) -> bool:
    """Whether a body opens with a CBOR array, as no text in UTF-8 can."""
    first = body.removeprefix(SELF_DESCRIBED)[:1]
    return b"\x80" <= first <= b"\x9f"


def read(body: bytes, received_at: float) -> Message:
    """Resolve a pack. Raises NotUnderstood where nothing in it can be used."""
    try:
        pack = cbor2.loads(body.removeprefix(SELF_DESCRIBED))
    except Exception as problem:  # the library lets its own and Python's errors through, of many kinds
        raise NotUnderstood(
            f"The CBOR cannot be read: {type(problem).__name__}.",
            "Send an array of maps as in RFC 8428, section 6, whole.",
        ) from None
    records = [_labelled(record) for record in pack] if isinstance(pack, list) else pack
    return senml.read(records, received_at)


def _labelled(record: object) -> object:
    """A record with the labels that JSON has."""
    if not isinstance(record, dict):
        return record
    return {LABELS.get(label, str(label)): _plain(value) for label, value in record.items()}


def _plain(value: object) -> object:
    """Decimal fractions and bigfloats as the numbers they are."""
    return float(value) if isinstance(value, Decimal | Fraction) else value
