"""Households, who belongs to them, and how one is asked in."""

import secrets
from datetime import datetime, timedelta
from hashlib import sha256
from typing import Any, Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from stations.models.village import Village


class HouseholdQuerySet(models.QuerySet):
    """Whose households a person speaks for."""

    def kept_by(self, person: Any) -> Self:
        """Those the person may put stations in: their own, or all of a village they are steward of."""
        if not person.is_authenticated:
            return self.none()
        own = person.memberships.values("household")
        stewarded = person.memberships.filter(role=Membership.Role.STEWARD).values("household__village")
        return self.filter(Q(pk__in=own) | Q(village__in=stewarded))


class Household(models.Model):
    """One roof with its stations."""

    village = models.ForeignKey(Village, on_delete=models.CASCADE, related_name="households")
    name = models.CharField(max_length=80)

    objects = HouseholdQuerySet.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                fields=["village", "name"],
                name="household_name_once_a_village",
                violation_error_message="The village already has a household of this name.",
            )
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        """The page of its keepers."""
        return reverse("household", args=[self.pk])


class MembershipQuerySet(models.QuerySet):
    """Who belongs where, and who decides about whom."""

    def present(self) -> Self:
        """Of people whose account is open."""
        return self.filter(person__is_active=True)

    def stewards_of(self, village: Village) -> Self:
        return self.present().filter(role=Membership.Role.STEWARD, household__village=village)

    def decided_by(self, person: Any) -> Self:
        """Those that a steward decides about: other people's in the village, but no other steward's."""
        if not person.is_authenticated:
            return self.none()
        villages = person.memberships.filter(role=Membership.Role.STEWARD).values("household__village")
        return self.filter(household__village__in=villages, role=Membership.Role.KEEPER).exclude(
            person=person
        )


class Membership(models.Model):
    """A person's place in a household, and whether they are the village's steward."""

    class Role(models.TextChoices):
        KEEPER = "keeper", "keeper"
        STEWARD = "steward", "steward"

    household = models.ForeignKey(Household, on_delete=models.CASCADE, related_name="memberships")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=8, choices=Role, default=Role.KEEPER)

    objects = MembershipQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["household", "person"], name="membership_once_a_household"),
            models.CheckConstraint(condition=Q(role__in=["keeper", "steward"]), name="membership_role_known"),
        ]

    def __str__(self) -> str:
        return f"{self.person}, {self.role} of {self.household}"


class InvitationQuerySet(models.QuerySet):
    """Invitations, found by the secret in their link."""

    def open(self) -> Self:
        return self.filter(accepted_at=None, expires_at__gt=timezone.now())

    def by_secret(self, secret: str) -> "Invitation | None":
        return self.filter(secret_hash=sha256(secret.encode()).hexdigest()).first()


def _fortnight() -> datetime:
    return timezone.now() + timedelta(days=14)


class Invitation(models.Model):
    """A link that lets one person open an account in a household; only its hash is kept."""

    household = models.ForeignKey(Household, on_delete=models.CASCADE, related_name="invitations")
    email = models.EmailField(blank=True, help_text="Whom it is meant for, if known.")
    role = models.CharField(max_length=8, choices=Membership.Role, default=Membership.Role.KEEPER)
    secret_hash = models.CharField(max_length=64, unique=True)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, blank=True, related_name="+"
    )
    made_at = models.DateTimeField(auto_now_add=True)
    expires_at = models.DateTimeField(default=_fortnight)
    accepted_at = models.DateTimeField(null=True, blank=True)

    objects = InvitationQuerySet.as_manager()

    def __str__(self) -> str:
        return f"invitation to {self.household}"

    @classmethod
    def issue(cls, household: Household, **fields: object) -> tuple["Invitation", str]:
        """A new invitation and its secret, which is shown this once."""
        secret = secrets.token_urlsafe(24)
        digest = sha256(secret.encode()).hexdigest()
        return cls.objects.create(household=household, secret_hash=digest, **fields), secret
