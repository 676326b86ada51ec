"""The village: the shard that everything else belongs to."""

from zoneinfo import ZoneInfo, available_timezones

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q


def known_zone(name: str) -> None:
    """Refuse a time zone that the tz database does not have."""
    if name not in available_timezones():
        raise ValidationError(f"{name!r} is not a time zone: use a name such as Europe/Berlin.")


TAKEN = {
    "admin",
    "api",
    "healthz",
    "join",
    "my",
    "password",
    "photos",
    "reading",
    "sending",
    "sign-in",
    "sign-out",
    "static",
}


def free_address(slug: str) -> None:
    """Refuse a short name under which the hub has pages of its own."""
    if slug in TAKEN:
        raise ValidationError(f"The address /{slug}/ is taken by the hub itself: choose another short name.")


class Village(models.Model):
    """A place whose households share their stations; nothing it computes needs another village's rows."""

    name = models.CharField(max_length=80, unique=True)
    slug = models.SlugField(unique=True, validators=[free_address])
    zone = models.CharField(
        max_length=64, validators=[known_zone], help_text="Its time zone, such as Europe/Berlin."
    )
    south = models.FloatField(help_text="Southern edge of its map: degrees north, WGS 84.")
    north = models.FloatField(help_text="Northern edge of its map: degrees north, WGS 84.")
    west = models.FloatField(help_text="Western edge of its map: degrees east, WGS 84.")
    east = models.FloatField(help_text="Eastern edge of its map: degrees east, WGS 84.")
    weather_service = models.CharField(
        max_length=120,
        help_text="The national weather service, whose warnings take precedence over everything here.",
    )
    weather_service_link = models.URLField(help_text="Where its warnings are published.")

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(south__gte=-90, north__lte=90, south__lt=F("north")),
                name="village_south_of_north",
                violation_error_message="The map's southern edge must lie south of its northern edge, within ±90°.",
            ),
            models.CheckConstraint(
                condition=Q(west__gte=-180, east__lte=180, west__lt=F("east")),
                name="village_west_of_east",
                violation_error_message="The map's western edge must lie west of its eastern edge, within ±180°.",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def clock(self) -> ZoneInfo:
        """The village's time zone."""
        return ZoneInfo(self.zone)

    @property
    def centre(self) -> tuple[float, float]:
        """Latitude and longitude of the middle of its map."""
        return (self.south + self.north) / 2, (self.west + self.east) / 2
