"""Who may sit at the desk: the village's stewards. To everybody else it is not there."""

from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, ParamSpec

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone

from stations.models import Membership, Village

P = ParamSpec("P")
View = Callable[Concatenate[HttpRequest, Village, P], HttpResponse]


def stewarded(person: Any, slug: str) -> Village:
    """The village of that name, for its steward. Raises Http404 for anybody else."""
    if person.is_authenticated:
        mine = person.memberships.filter(role=Membership.Role.STEWARD)
        found = Village.objects.filter(slug=slug, households__memberships__in=mine).first()
        if found is not None:
            return found
    raise Http404("There is no such page.")


def steward_only(view: View[P]) -> Callable[..., HttpResponse]:
    """Let only the village's stewards in, and tell times in its zone."""

    @wraps(view)
    def guarded(request: HttpRequest, village: str, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        place = stewarded(request.user, village)
        with timezone.override(place.clock):
            return view(request, place, *args, **kwargs)

    return guarded
