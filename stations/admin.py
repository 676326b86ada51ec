"""The tables of households and stations in Django's own admin, for whoever runs the hub.

Keepers and stewards do not need it. Every change here is written into its log; hashes are not for changing.
"""

from django.contrib import admin
from django.db.models import QuerySet
from django.http import HttpRequest
from django.utils import timezone

from stations.models import (
    Calibration,
    Channel,
    Clock,
    DeviceKey,
    Household,
    Instrument,
    Invitation,
    Membership,
    Placement,
    SitingNote,
    Station,
    Village,
)


class MembershipInline(admin.TabularInline):
    model = Membership
    extra = 0
    autocomplete_fields = ["person"]


class PlacementInline(admin.TabularInline):
    model = Placement
    extra = 0


class ClockInline(admin.TabularInline):
    model = Clock
    extra = 0


class CalibrationInline(admin.TabularInline):
    model = Calibration
    extra = 0
    readonly_fields = ["made_by", "made_at"]


@admin.register(Village)
class VillageAdmin(admin.ModelAdmin):
    list_display = ["name", "zone", "south", "north", "west", "east"]
    prepopulated_fields = {"slug": ["name"]}
    search_fields = ["name"]


@admin.register(Household)
class HouseholdAdmin(admin.ModelAdmin):
    list_display = ["name", "village"]
    list_filter = ["village"]
    search_fields = ["name"]
    inlines = [MembershipInline]


@admin.register(Invitation)
class InvitationAdmin(admin.ModelAdmin):
    """To look at and to end; a new one is made on the hub's own page, which shows its link."""

    list_display = ["household", "email", "role", "made_by", "made_at", "expires_at", "accepted_at"]
    list_select_related = ["household", "made_by"]
    exclude = ["secret_hash"]
    readonly_fields = ["made_by", "made_at", "accepted_at"]

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False


@admin.register(Station)
class StationAdmin(admin.ModelAdmin):
    list_display = ["name", "household", "state", "shown", "report_every", "counts_from", "counts_until"]
    list_filter = ["state", "household__village"]
    list_select_related = ["household"]
    search_fields = ["name", "household__name"]
    inlines = [PlacementInline, ClockInline]


@admin.register(Instrument)
class InstrumentAdmin(admin.ModelAdmin):
    list_display = ["station", "variable", "principle", "height", "begins_at", "ends_at"]
    list_filter = ["variable", "station__household__village"]
    list_select_related = ["station"]
    search_fields = ["station__name", "principle"]
    autocomplete_fields = ["station"]


@admin.register(Channel)
class ChannelAdmin(admin.ModelAdmin):
    list_display = ["name", "unit", "station", "instrument", "begins_at", "ends_at"]
    list_select_related = ["station", "instrument__station"]
    search_fields = ["name", "station__name"]
    autocomplete_fields = ["station", "instrument"]
    inlines = [CalibrationInline]


@admin.register(SitingNote)
class SitingNoteAdmin(admin.ModelAdmin):
    list_display = ["placement", "variable", "siting_class", "written_at", "written_by"]
    list_filter = ["variable", "siting_class"]
    list_select_related = ["placement__station", "written_by"]
    readonly_fields = ["written_by"]


@admin.register(DeviceKey)
class DeviceKeyAdmin(admin.ModelAdmin):
    """To look at and to revoke; a key is made on the station's own page, which shows it."""

    list_display = ["station", "ending", "made_at", "revoked_at"]
    list_filter = ["station__household__village"]
    list_select_related = ["station"]
    fields = readonly_fields = ["station", "ending", "made_at", "revoked_at"]
    actions = ["revoke"]

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    @admin.action(description="Revoke the chosen keys")
    def revoke(self, request: HttpRequest, keys: QuerySet[DeviceKey]) -> None:
        keys.filter(revoked_at=None).update(revoked_at=timezone.now())
