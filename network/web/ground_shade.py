"""A layer of the ground as a small picture: shadow and light for the relief, a grey wash for what else it is."""

from io import BytesIO

import numpy as np
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe
from PIL import Image

from network.quality.rolling import Floats
from network.spatial.relief import gradients, shade
from stations.models import Ground

SHADOW, LIGHT = 0.42, 0.5
"""How strongly the darkest shadow and the brightest slope are drawn, of 1."""

STEEP = 0.5
"""The steeper slopes of a village are drawn as if they rose so much: gentle ground is exaggerated, up to so often."""
MOST_EXAGGERATED = 5.0

LEVEL = float(np.sin(np.radians(45.0)))
WEEK = 7 * 24 * 3600


@require_safe
@cache_control(public=True, max_age=WEEK, immutable=True)
def ground_png(request: HttpRequest, village: str, layer: int) -> HttpResponse:
    """The shade of a layer in use. A layer never changes: another has another address."""
    found = get_object_or_404(Ground.objects.kept(), pk=layer, village__slug=village, kind__in=Ground.RASTERS)
    return HttpResponse(png(found), content_type="image/png")


def png(layer: Ground) -> bytes:
    """Black and white with transparency, north on top, so that it lies over any paper."""
    cells = layer.cells
    if layer.kind == Ground.Kind.ELEVATION:
        grid = layer.grid
        lit = relief(cells, (grid.east - grid.west) / grid.columns, (grid.north - grid.south) / grid.rows)
        grey, alpha = np.where(lit < 0, 0, 255), np.abs(lit)
    else:
        # Half grey shows on white paper and on slate.
        grey, alpha = (
            np.full(cells.shape, 128.0),
            0.9 * (cells - cells.min()) / max(float(np.ptp(cells)), 1e-9),
        )
    both = np.stack([grey, np.round(255 * alpha)], axis=-1)[::-1].astype(np.uint8)
    file = BytesIO()
    Image.fromarray(np.ascontiguousarray(both), "LA").save(file, "PNG", optimize=True)
    return file.getvalue()


def relief(ground: Floats, width: float, depth: float) -> Floats:
    """Shadow below zero and light above, as shares of black and of white to lay over a picture."""
    slope = float(np.quantile(np.hypot(*gradients(ground, width, depth)), 0.95))
    exaggerated = float(np.clip(STEEP / max(slope, 1e-9), 1.0, MOST_EXAGGERATED))
    lit = shade(ground, width, depth, exaggerated=exaggerated)
    return np.where(lit < LEVEL, SHADOW * (lit / LEVEL - 1), LIGHT * (lit - LEVEL) / (1 - LEVEL))
