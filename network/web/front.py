"""The front page: a village's weather in sentences, a map, the strip and a table."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from stations.models import Village


@require_safe
def front(request: HttpRequest) -> HttpResponse:
    """To the only village, or the list of them, or how to begin."""
    villages = list(Village.objects.order_by("name"))
    if len(villages) == 1:
        return redirect("village", villages[0].slug)
    return render(request, "network/villages.html", {"villages": villages})


@require_safe
def village(request: HttpRequest, village: str) -> HttpResponse:
    """A village's front page."""
    found = get_object_or_404(Village, slug=village)
    return render(request, "network/front.html", {"page": {"village": found}})
