"""The way in for devices: POST /api/reports with a device key."""

import time
from urllib.parse import parse_qsl, urlencode

from django.conf import settings
from django.core.cache import cache
from django.core.exceptions import RequestDataTooBig
from django.db import transaction
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.csrf import csrf_exempt

from network.pipeline.receive import Sender, receive
from network.web.refusals import refuse
from network.wire import limits
from network.wire.limits import Refusal
from stations.models import Station
from stations.models.key import digest

FORM = "application/x-www-form-urlencoded"
NO_KEY = Refusal(
    401, "This report carries no device key.", "Send the header 'Authorization: Bearer YOUR-KEY'."
)
WRONG_KEY = Refusal(
    401, "No station has this device key.", "Copy the key from the station's page, or make a new one there."
)
REVOKED = Refusal(403, "This device key was revoked.", "Put the station's new key into the device.")
RETIRED = Refusal(403, "This station is retired.", "Ask the village's steward to bring it back.")
NOT_POST = Refusal(405, "Reports are sent with POST.", "Send the same to this address with the method POST.")


@csrf_exempt
@transaction.non_atomic_requests
def reports(request: HttpRequest) -> HttpResponse:
    """Take one report. 202 means that it is stored durably; any other answer says what to change."""
    if request.method != "POST":
        return refuse(NOT_POST, Allow="POST")
    try:
        if refusal := limits.too_large(int(request.META.get("CONTENT_LENGTH") or 0)):
            return refuse(refusal)
        key, body, content_type = _opened(request)
    except (RequestDataTooBig, ValueError):
        return refuse(limits.too_large(limits.MOST_BYTES + 1) or NOT_POST)
    if not key:
        return refuse(NO_KEY, **{"WWW-Authenticate": "Bearer"})
    sender = Sender.by_key(digest(key))
    if refusal := _turned_away(sender):
        return refuse(refusal)
    if wait := _too_often(sender):
        return refuse(_slower(wait), **{"Retry-After": str(wait)})
    answer = receive(sender, body, content_type, time.time())
    if isinstance(answer, Refusal):
        return refuse(answer)
    return JsonResponse(
        {"status": 202, "readings": answer.readings, "new": answer.new, "refused": answer.refused}, status=202
    )


def _opened(request: HttpRequest) -> tuple[str, bytes, str]:
    """The key, and the report without it: keys are kept hashed, so none may stay in a stored report."""
    scheme, _, key = request.headers.get("Authorization", "").partition(" ")
    key = key.strip() if scheme.lower() == "bearer" else request.headers.get("X-Device-Key", "")
    body, content_type = request.body, request.content_type or ""
    if not body:
        body, content_type = request.META.get("QUERY_STRING", "").encode(), FORM
    elif not key:
        key = request.GET.get("key", "")
    if content_type == FORM and b"key=" in body:
        pairs = parse_qsl(body.decode("utf-8", "replace"), keep_blank_values=True)
        key = key or next((value for name, value in pairs if name == "key"), "")
        body = urlencode([(name, value) for name, value in pairs if name != "key"]).encode()
    return key, body, content_type


def _turned_away(sender: Sender | None) -> Refusal | None:
    if sender is None:
        return WRONG_KEY
    if sender.revoked:
        return REVOKED
    return RETIRED if sender.state == Station.State.RETIRED else None


def _too_often(sender: Sender) -> int:
    """Seconds to wait, 0 when the sender keeps to its rate."""
    now = int(time.time())
    counter = f"reports:{sender.station}:{now // 60}"
    if cache.add(counter, 1, 120):
        return 0
    return 60 - now % 60 if cache.incr(counter) > settings.REPORTS_PER_MINUTE else 0


def _slower(wait: int) -> Refusal:
    most = settings.REPORTS_PER_MINUTE
    return Refusal(
        429,
        f"More than {most} reports in a minute.",
        f"Wait {wait} seconds, then send what has gathered in one report.",
    )
