"""The way in: the bytes a device sent become a message, whichever of the formats it chose.

The body decides before the header does, for small boards often send the wrong content type: what opens with
a bracket is JSON, a list of SenML records is SenML (RFC 8428), what opens with a CBOR array is SenML in CBOR,
the rest is a query string.
"""

import json
from zoneinfo import ZoneInfo

from network.wire import plain, senml, senml_cbor
from network.wire.said import Message, NotUnderstood, Said

__all__ = ["FORMATS", "Message", "NotUnderstood", "Said", "decode"]

FORMATS = (
    "application/senml+json",
    senml_cbor.CONTENT_TYPE,
    "application/json",
    "application/x-www-form-urlencoded",
    "text/plain",
)
"""The content types a device may name; text/plain holds a query string."""


def decode(body: bytes, content_type: str, received_at: float, zone: ZoneInfo | None = None) -> Message:
    """Read a report.

    ``received_at`` [UTC epoch seconds] stands in for the clock of a board that has none; ``zone`` is where
    local times without an offset belong. The same arguments always give the same message. A SenML name is
    the full resolved one; whether a channel answers to all of it or to its last part is the caller's to say.

    Raises NotUnderstood when nothing in it can be used, and nothing else.
    """
    if senml_cbor.looks_like(body):
        return senml_cbor.read(body, received_at)
    try:
        text = body.decode().strip("\ufeff \t\r\n")
    except UnicodeDecodeError:
        raise NotUnderstood(
            "The report is not text in UTF-8.", f"Send one of {', '.join(FORMATS)}."
        ) from None
    if not text:
        raise NotUnderstood("The report is empty.", "Send at least one reading, such as temp=21.4.")
    kind = content_type.partition(";")[0].strip().lower()
    if text[0] not in "[{":
        if kind.endswith("json"):
            raise NotUnderstood("The report is called JSON but opens otherwise.", "Begin it with { or [.")
        return plain.form(text, received_at, zone)
    found = _json(text)
    if kind == "application/senml+json" or senml.looks_like(found):
        return senml.read(found, received_at)
    return plain.read(found, received_at, zone)


def _json(text: str) -> object:
    try:
        return json.loads(text)
    except json.JSONDecodeError as error:
        sentence = f"The JSON breaks off at character {error.pos + 1}: {error.msg}."
    except RecursionError:
        sentence = "The JSON nests too deeply."
    except ValueError:
        sentence = "The JSON holds a number of too many digits."
    raise NotUnderstood(
        sentence, "Check the brackets, quotes and commas, and that the report was sent whole."
    )
