"""The admin audits: it shows everything, decides through the same verbs, and alters no row."""

import pytest
from django.contrib.auth.models import Permission, User
from django.test import Client
from django.urls import reverse

from network.models import Case, Decision, Notice, Report, Work
from network.pipeline.telling.notices import tell
from tests.network.web.test_desk import doubted
from tests.network.web.test_desk import mill as mill
from tests.network.web.test_desk import village as village

AUDITED = (Report, Case, Decision, Notice, Work)


@pytest.fixture
def root(village) -> Client:
    client = Client()
    client.force_login(User.objects.create_superuser("root", "root@example.org"))
    return client


@pytest.fixture
def rows(village, mill) -> dict[type, object]:
    """One of each."""
    Report.keep(mill.pk, 1774612800.0, "application/json", b'{"t": <5>}', "digest", 1, 2, "")
    tell(mill, "test", "Look.")
    return {
        Report: Report.objects.get(),
        Case: doubted(mill),
        Decision: Decision.objects.create(station=mill, kind="keep", begins_at=0, ends_at=0, parameters={}),
        Notice: Notice.objects.get(),
        Work: Work.objects.create(
            village=village, stage=2, block=0, generation=1, attempts=5, due_at=9e9, problem="x"
        ),
    }


def listing(model: type) -> str:
    return reverse(f"admin:network_{model._meta.model_name}_changelist")


def choose(client: Client, model: type, action: str, *chosen: object):
    return client.post(
        listing(model), {"action": action, "_selected_action": [row.pk for row in chosen], "index": 0}
    )


@pytest.mark.parametrize("model", AUDITED)
def test_every_table_can_be_read_and_no_row_altered(root, rows, model):
    row, name = rows[model], model._meta.model_name
    assert root.get(listing(model)).status_code == 200
    change = reverse(f"admin:network_{name}_change", args=[row.pk])
    assert root.get(change).status_code == 200
    assert root.post(change, {}).status_code == 403
    assert root.get(reverse(f"admin:network_{name}_add")).status_code == 403
    assert (
        root.post(reverse(f"admin:network_{name}_delete", args=[row.pk]), {"post": "yes"}).status_code == 403
    )
    choose(root, model, "delete_selected", row)
    assert model.objects.filter(pk=row.pk).exists()


def test_a_report_is_shown_as_received_and_escaped(root, rows):
    change = reverse("admin:network_report_change", args=[rows[Report].pk])
    assert "{&quot;t&quot;: &lt;5&gt;}" in root.get(change).content.decode()


def test_a_case_is_settled_and_undone_through_the_desks_own_verbs(root, rows, mill):
    choose(root, Case, "reject", rows[Case])
    decision = Decision.objects.get(kind="reject")
    assert decision.made_by.username == "root"
    assert Case.objects.get().settled_at is not None
    choose(root, Decision, "undo", decision)
    assert Decision.objects.get(kind="reject").undone_by.username == "root"
    assert Case.objects.get().settled_at is None


def test_work_that_failed_can_be_tried_again_at_once(root, rows):
    choose(root, Work, "try_again", rows[Work])
    again = Work.objects.get(pk=rows[Work].pk)
    assert (again.due_at, again.attempts) == (0, 0)


def test_who_may_only_look_is_offered_no_verb(village, rows):
    auditor = User.objects.create_user("ada", is_staff=True)
    auditor.user_permissions.set(Permission.objects.filter(codename__startswith="view_"))
    client = Client()
    client.force_login(auditor)
    assert client.get(listing(Case)).status_code == 200
    choose(client, Case, "reject", rows[Case])
    assert not Decision.objects.filter(kind="reject").exists()
