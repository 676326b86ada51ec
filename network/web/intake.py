"""The way in for devices: POST /api/reports with a device key."""

import logging
import re
import time
from urllib.parse import unquote_plus

from django.conf import settings
from django.core.cache import caches
from django.db import OperationalError, transaction
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils.translation import gettext_noop
from django.views.decorators.csrf import csrf_exempt

from network.pipeline.intake.receive import Receipt, Sender, receive
from network.web.refusals import refuse
from network.wire import limits, senml_cbor
from network.wire.limits import Refusal
from stations.models import Station
from stations.models.key import digest

logger = logging.getLogger(__name__)

FORM = "application/x-www-form-urlencoded"
BLANKS = b"\xef\xbb\xbf \t\r\n"
KEY_IN_FORM = re.compile(rb"(?P<before>)(?:^|&)key=(?P<key>[^&]*)(?P<after>)")
KEY_IN_JSON = re.compile(rb'(?P<before>"key"\s*:\s*")(?P<key>[^"\\]*)(?P<after>")')
NO_KEY = Refusal(
    401,
    gettext_noop("This report carries no device key."),
    gettext_noop("Send the header 'Authorization: Bearer YOUR-KEY'."),
)
WRONG_KEY = Refusal(
    401, "No station has this device key.", "Copy the key from the station's page, or make a new one there."
)
REVOKED = Refusal(
    403,
    gettext_noop("This device key was revoked."),
    gettext_noop("Put the station's new key into the device."),
)
RETIRED = Refusal(403, "This station is retired.", "Ask the village's steward to bring it back.")
NO_LENGTH = Refusal(
    411, "This report does not say how long it is.", "Send a Content-Length instead of chunks."
)
NOT_STORED = Refusal(503, "The hub cannot store reports just now.", "Keep this one and send it again later.")
NOT_POST = Refusal(405, "Reports are sent with POST.", "Send the same to this address with the method POST.")


@csrf_exempt
@transaction.non_atomic_requests
def reports(request: HttpRequest) -> HttpResponse:
    """Take one report. 202 means that it is stored durably; any other answer says what to change."""
    if request.method != "POST":
        return refuse(NOT_POST, Allow="POST")
    body = _body(request)
    if isinstance(body, Refusal):
        return refuse(body)
    key, body, content_type = _opened(request, body)
    if not key:
        return refuse(NO_KEY, **{"WWW-Authenticate": "Bearer"})
    try:
        sender = Sender.by_key(digest(key))
        if refusal := turned_away(sender):
            return refuse(refusal)
        if wait := _too_often(sender):
            return refuse(_slower(wait), **{"Retry-After": str(wait)})
        answer = receive(sender, body, content_type, time.time())
    except OperationalError as error:
        logger.error("A report could not be stored: %s", error)
        return refuse(NOT_STORED, **{"Retry-After": "30"})
    if isinstance(answer, Refusal):
        return refuse(answer)
    return JsonResponse(answer_of(answer), status=202)


def _body(request: HttpRequest) -> bytes | Refusal:
    """The bytes sent, whether their number was announced or they came in chunks."""
    announced = request.META.get("CONTENT_LENGTH") or ""
    if announced.isdecimal():
        # A number of many digits is judged by how many they are: Python refuses to read the longest.
        size = int(announced) if len(announced) < 16 else 10**16
        return limits.too_large(size) or request.body
    if "chunked" not in request.headers.get("Transfer-Encoding", "").lower():
        return b""
    if not request.META.get("wsgi.input_terminated"):
        return NO_LENGTH
    body = request.META["wsgi.input"].read(limits.MOST_BYTES + 1)
    return limits.too_large(len(body)) or body


def _opened(request: HttpRequest, body: bytes) -> tuple[str, bytes, str]:
    """The key, and the report without it: keys are kept hashed, so none may stay in a stored report."""
    scheme, _, key = request.headers.get("Authorization", "").partition(" ")
    key = key if scheme.lower() == "bearer" else request.headers.get("X-Device-Key", "")
    content_type = request.content_type or ""
    if body.strip():
        key = key or request.GET.get("key", "")
    else:
        body, content_type = request.META.get("QUERY_STRING", "").encode("latin-1"), FORM
    inside, body = without_key(body)
    return (key or inside).strip(), body, content_type


def without_key(body: bytes) -> tuple[str, bytes]:
    """The key that stands in a report, '' for none, and the report without it."""
    if senml_cbor.looks_like(body):  # no key can stand in it, and no byte may be touched
        return "", body
    inside = KEY_IN_JSON if body.lstrip(BLANKS)[:1] in (b"{", b"[") else KEY_IN_FORM
    found = inside.search(body)
    if not found:
        return "", body
    key = unquote_plus(found["key"].decode(errors="replace"))
    return key, inside.sub(rb"\g<before>\g<after>", body).lstrip(b"&")


def turned_away(sender: Sender | None) -> Refusal | None:
    """Why nothing is taken from this sender, None where it may speak."""
    if sender is None:
        return WRONG_KEY
    if sender.revoked:
        return REVOKED
    return RETIRED if sender.state == Station.State.RETIRED else None


def answer_of(outcome: Receipt | Refusal) -> dict[str, object]:
    """What a device is told, by whichever way it spoke."""
    if isinstance(outcome, Refusal):
        return {"status": outcome.status, "error": outcome.error, "hint": outcome.hint}
    return {"status": 202, **vars(outcome)}


def _too_often(sender: Sender) -> int:
    """Seconds to wait, 0 when the sender keeps to its rate."""
    now = int(time.time())
    counts = caches["near"]  # a question to another machine for each report would cost more than it saves
    counter = f"reports:{sender.station}:{now // 60}"
    if counts.add(counter, 1, 120):
        return 0
    try:
        so_far = counts.incr(counter)
    except ValueError:  # the cache was full and dropped the count between the two lines above
        return 0
    return 60 - now % 60 if so_far > settings.REPORTS_PER_MINUTE else 0


def _slower(wait: int) -> Refusal:
    most = settings.REPORTS_PER_MINUTE
    return Refusal(
        429,
        f"More than {most} reports in a minute.",
        f"Wait {wait} seconds, then send what has gathered in one report.",
    )
