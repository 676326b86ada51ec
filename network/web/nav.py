"""What the head of every page knows: whose desk the reader may open."""

from collections.abc import Callable

from django.http import HttpRequest

from stations.models import Membership, Village


def desks(request: HttpRequest) -> dict[str, Callable[[], list[Village]]]:
    """Context processor: ``desks``, the villages the reader is steward of; asked only when a page asks."""

    def stewarded() -> list[Village]:
        person = getattr(request, "user", None)
        if person is None or not person.is_authenticated:
            return []
        mine = person.memberships.filter(role=Membership.Role.STEWARD)
        return list(Village.objects.filter(households__memberships__in=mine).distinct().order_by("name"))

    return {"desks": stewarded}
