"""Device keys: shown once, kept as a hash, rotated and revoked."""

import secrets
from hashlib import sha256

from django.db import models

from stations.models.station import Station


class DeviceKey(models.Model):
    """What a device proves itself with. A station may hold two while one takes over from the other."""

    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="keys")
    hash = models.CharField(
        max_length=64, unique=True, help_text="SHA-256 of the key; the key itself is not kept."
    )
    ending = models.CharField(max_length=4, help_text="Its last characters, to tell keys apart.")
    made_at = models.DateTimeField(auto_now_add=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["made_at"]

    def __str__(self) -> str:
        return f"…{self.ending} of {self.station}"

    @classmethod
    def issue(cls, station: Station) -> tuple["DeviceKey", str]:
        """A new key of the station and its text, which is shown this once."""
        text = secrets.token_urlsafe(24)
        return cls.objects.create(station=station, hash=digest(text), ending=text[-4:]), text


def digest(text: str) -> str:
    """What is kept of a key."""
    return sha256(text.encode()).hexdigest()
