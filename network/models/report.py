"""What a device sent, as received. Rows are added and never altered."""

from typing import Self

from django.db import connection, models

from network.wire.limits import LONGEST_SPAN
from stations.models import Station


class ReportQuerySet(models.QuerySet):
    """Reports found by the time they speak of."""

    def speaking_of(self, station: int, begins_at: int, ends_at: int) -> Self:
        """A station's understood reports whose claimed times touch the span [UTC epoch s]."""
        return self.filter(
            station=station,
            problem="",
            last_at__gte=begins_at,
            last_at__lt=ends_at
            + LONGEST_SPAN,  # no report is longer, so the index need not be read to its end
            first_at__lt=ends_at,
        ).only("body", "content_type", "received_at")


class Report(models.Model):
    """One request of one device, kept to the byte."""

    station = models.ForeignKey(Station, on_delete=models.CASCADE, related_name="reports", db_index=False)
    received_at = models.FloatField(help_text="When it came in (UTC epoch seconds).")
    content_type = models.CharField(max_length=60)
    body = models.BinaryField()
    digest = models.CharField(max_length=43, help_text="SHA-256 of the content, in base 64.")
    first_at = models.BigIntegerField(null=True, help_text="The earliest time it claims (UTC epoch seconds).")
    last_at = models.BigIntegerField(null=True, help_text="The latest time it claims.")
    problem = models.CharField(max_length=300, blank=True, help_text="Why nothing in it could be understood.")

    objects = ReportQuerySet.as_manager()

    COLUMNS = (
        "station_id",
        "received_at",
        "content_type",
        "body",
        "digest",
        "first_at",
        "last_at",
        "problem",
    )

    class Meta:
        constraints = [models.UniqueConstraint(fields=["station", "digest"], name="report_stored_once")]
        indexes = [
            models.Index(fields=["station", "last_at", "first_at"], name="report_by_time"),
            models.Index(fields=["station", "received_at"], name="report_by_receipt"),
        ]

    def __str__(self) -> str:
        return f"report {self.pk} of {self.station}"

    @classmethod
    def keep(cls, *row: object) -> bool:
        """Store one report, its values in the order of ``COLUMNS``; False when it was stored before."""
        with connection.cursor() as cursor:
            cursor.execute(_KEEP, row)
            return bool(cursor.rowcount)


_KEEP = f"""
    INSERT INTO network_report ({", ".join(Report.COLUMNS)})
    VALUES ({", ".join(["%s"] * len(Report.COLUMNS))})
    ON CONFLICT (station_id, digest) DO NOTHING
"""
