"""Django's admin for auditing: what was received, doubted, decided, told and left undone.

Rows are looked at here and changed by verbs only, the same that the desk uses: no raw row can be altered.
"""

from collections.abc import Callable
from typing import Any

from django.contrib import admin, messages
from django.db.models import QuerySet
from django.http import HttpRequest
from django.utils.html import format_html

from network.models import Answer, Case, Decision, Notice, Report, Work
from network.pipeline import tasks
from network.pipeline.ledger import work
from network.pipeline.metadata.tongue import from_epoch
from network.pipeline.telling import notices
from network.pipeline.verbs import decisions

Verb = Callable[[Any], object]


class Audit(admin.ModelAdmin):
    """A table to be read: nothing is added, changed or deleted."""

    list_per_page = 50
    show_full_result_count = False

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False

    def has_decide_permission(self, request: HttpRequest) -> bool:
        return request.user.has_perm("network.add_decision")

    def each(self, request: HttpRequest, rows: QuerySet, verb: Verb, done: str) -> None:
        """Do a verb to every row chosen, and say of which it was not possible."""
        count = 0
        for row in rows:
            try:
                verb(row)
                count += 1
            except decisions.NotPossible as problem:
                self.message_user(request, f"{row}: {problem}", messages.WARNING)
        self.message_user(request, f"{done}: {count}.")


@admin.register(Report)
class ReportAudit(Audit):
    """Reports as received."""

    list_display = ("station", "received", "content_type", "said", "problem")
    list_filter = ("station__household__village", "station")
    list_select_related = ("station",)
    ordering = ("-pk",)
    fields = (
        "station",
        "received",
        "content_type",
        "digest",
        "first_at",
        "last_at",
        "problem",
        "said_in_full",
    )
    readonly_fields = fields

    @admin.display(description="received (UTC)", ordering="received_at")
    def received(self, report: Report) -> str:
        return f"{from_epoch(report.received_at):%Y-%m-%d %H:%M:%S}"

    @admin.display(description="what it said")
    def said(self, report: Report) -> str:
        return bytes(report.body[:80]).decode("utf-8", "replace")

    @admin.display(description="what it said")
    def said_in_full(self, report: Report) -> str:
        return format_html("<pre>{}</pre>", bytes(report.body).decode("utf-8", "replace"))


@admin.register(Case)
class CaseAudit(Audit):
    """Cases, with the decisions that need no figures."""

    list_display = ("station", "variable", "check_name", "since", "readings", "weight", "settled_at")
    list_filter = (
        "station__household__village",
        "check_name",
        "variable",
        ("settled_at", admin.EmptyFieldListFilter),
    )
    list_select_related = ("station",)
    ordering = ("-weight",)
    actions = ("keep", "believe", "reject", "set_aside")

    @admin.display(description="since (UTC)", ordering="begins_at")
    def since(self, case: Case) -> str:
        return f"{from_epoch(case.begins_at):%Y-%m-%d %H:%M}"

    @admin.action(description="The checks are right: the verdict stands", permissions=["decide"])
    def keep(self, request: HttpRequest, rows: QuerySet) -> None:
        self._settle(request, rows, Decision.Kind.KEEP)

    @admin.action(description="The station was right: believe the readings", permissions=["decide"])
    def believe(self, request: HttpRequest, rows: QuerySet) -> None:
        self._settle(request, rows, Decision.Kind.BELIEVE)

    @admin.action(description="The readings were wrong", permissions=["decide"])
    def reject(self, request: HttpRequest, rows: QuerySet) -> None:
        self._settle(request, rows, Decision.Kind.REJECT)

    @admin.action(
        description="Keep the variable out of the maps until further notice", permissions=["decide"]
    )
    def set_aside(self, request: HttpRequest, rows: QuerySet) -> None:
        self._settle(request, rows, Decision.Kind.SET_ASIDE)

    def _settle(self, request: HttpRequest, rows: QuerySet, kind: str) -> None:
        cases = rows.select_related("station__household__village")
        self.each(request, cases, lambda case: decisions.settle(case, kind, request.user), "Decided")


@admin.register(Decision)
class DecisionAudit(Audit):
    """The trail, with undoing."""

    list_display = ("made_at", "station", "kind", "variable", "reason", "made_by", "undone_at", "undone_by")
    list_filter = ("station__household__village", "kind", "station")
    list_select_related = ("station", "made_by", "undone_by")
    actions = ("undo",)

    @admin.action(description="Undo", permissions=["decide"])
    def undo(self, request: HttpRequest, rows: QuerySet) -> None:
        newest_first = rows.order_by("-made_at", "-pk")  # what stands on another goes before it
        self.each(request, newest_first, lambda row: decisions.undo(row, request.user), "Undone")


@admin.register(Notice)
class NoticeAudit(Audit):
    """What keepers were told."""

    list_display = ("made_at", "station", "words", "sent_at", "read_at")
    list_filter = ("station__household__village", "station")
    list_select_related = ("station",)
    actions = ("send_waiting",)

    @admin.action(description="Send by e-mail whatever waits", permissions=["decide"])
    def send_waiting(self, request: HttpRequest, rows: QuerySet) -> None:
        notices.send()
        waiting = Notice.objects.filter(sent_at=None).count()
        self.message_user(request, f"Sent what could be sent; {waiting} still wait.")


@admin.register(Answer)
class AnswerAudit(Audit):
    """What keepers answered."""

    list_display = ("made_at", "question", "said", "changed_on", "words", "made_by", "told_at")
    list_filter = ("question__station__household__village", "said")
    list_select_related = ("question__station", "made_by")


@admin.register(Work)
class WorkAudit(Audit):
    """The ledger, with trying again at once."""

    list_display = ("village", "stage", "since", "attempts", "problem")
    list_filter = ("village", "stage", ("problem", admin.EmptyFieldListFilter))
    list_select_related = ("village",)
    ordering = ("-attempts", "-block")
    actions = ("try_again",)

    @admin.display(description="block (UTC)", ordering="block")
    def since(self, row: Work) -> str:
        return f"{from_epoch(row.block):%Y-%m-%d %H:%M}"

    @admin.action(description="Try again now", permissions=["decide"])
    def try_again(self, request: HttpRequest, rows: QuerySet) -> None:
        def again(row: Work) -> None:
            work.mark(row.village_id, row.stage, [row.block])
            tasks.nudge(row.village_id)

        self.each(request, rows, again, "Marked to be tried again")
