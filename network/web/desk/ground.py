"""The village's ground before its steward: what it has, a file to look at first, and what to take back."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from network.pipeline.maps.ground import COVER
from network.pipeline.maps.map import village_grid
from network.web import ground_shade
from network.web.desk.access import steward_only
from network.web.desk.forms import GroundForm
from network.web.ground_picture import GroundPicture, draw, frame
from network.web.village_map import ROWS
from network.web.village_map_picture import WIDTH, Canvas
from stations.ground import WrongFile, keep, propose
from stations.models import Ground, Village


@dataclass(frozen=True)
class Proposal:
    """A layer that was read and waits to be looked at, as it would lie on the map."""

    layer: Ground
    replaces: bool
    ground: GroundPicture
    shade: str
    width: int
    height: int


@dataclass(frozen=True)
class GroundPage:
    """Everything network/desk_ground.html may show."""

    village: Village
    proposals: list[Proposal]
    kept: list[Ground]
    form: GroundForm


@require_http_methods(["GET", "HEAD", "POST"])
@steward_only
def ground(request: HttpRequest, village: Village) -> HttpResponse:
    """Show the layers, and read a new one."""
    form = GroundForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        said = form.cleaned_data
        try:
            propose(
                village,
                said["kind"],
                said["file"].read(),
                said["file"].name,
                said["credit"],
                request.user,
                said["epsg"],
            )
        except WrongFile as wrong:
            form.add_error("file", str(wrong))
        else:
            return redirect("desk-ground", village.slug)
    layers = list(Ground.objects.filter(village=village).select_related("given_by"))
    kept = [layer for layer in layers if layer.kept_at]
    page = GroundPage(
        village=village,
        proposals=[_proposal(village, layer, kept) for layer in layers if not layer.kept_at],
        kept=kept,
        form=form,
    )
    return render(request, "network/desk_ground.html", {"page": page}, status=400 if form.errors else 200)


@require_POST
@steward_only
def settle(request: HttpRequest, village: Village, layer: int) -> HttpResponse:
    """Keep a layer that waits, drop it, or take one back that is in use."""
    found = get_object_or_404(Ground, pk=layer, village=village)
    words = found.get_kind_display()
    if request.POST.get("do") == "keep" and not found.kept_at:
        keep(found)
        then = (
            "The maps follow it from when their fields are next learnt, as far as the readings do."
            if found.kind in COVER
            else f"The maps are drawn with the {words} from now on."
        )
        messages.success(request, f"Kept. {then}")
    elif request.POST.get("do") == "remove":
        found.delete()
        done = "Taken back. The maps are drawn without the" if found.kept_at else "Not kept: the"
        messages.success(request, f"{done} {words}{'.' if found.kept_at else ' was dropped.'}")
    return redirect("desk-ground", village.slug)


@require_safe
@steward_only
def shade(request: HttpRequest, village: Village, layer: int) -> HttpResponse:
    """The shade of a layer, kept or not."""
    found = get_object_or_404(Ground, pk=layer, village=village, kind__in=Ground.RASTERS)
    return HttpResponse(ground_shade.png(found), content_type="image/png")


def _proposal(village: Village, layer: Ground, kept: Iterable[Ground]) -> Proposal:
    """The layer among those in use, without the one whose place it would take."""
    others = [one for one in kept if one.kind != layer.kind]
    canvas = Canvas(village_grid(village, ROWS))
    drawn = draw(village, [*others, layer], canvas)
    if layer.kind in Ground.RASTERS:
        drawn = replace(drawn, shade=frame(canvas, village, layer))
    return Proposal(
        layer=layer,
        replaces=any(one.kind == layer.kind for one in kept),
        ground=drawn,
        shade=reverse("desk-ground-shade", args=[village.slug, drawn.shade.layer]) if drawn.shade else "",
        width=WIDTH,
        height=canvas.height,
    )
