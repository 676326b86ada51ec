"""Addresses of one's own account and of a household as a whole."""

from django.urls import path

from network.web.account import account, household

urlpatterns = [
    path("account/", account.account, name="account"),
    path("account/email/", account.email, name="account-email"),
    path("account/what-is-held.json", account.data, name="account-data"),
    path("account/close/", account.close, name="account-close"),
    path("households/<int:pk>/hand-over/", household.hand_over, name="hand-over"),
    path("households/<int:pk>/erase/", household.erase, name="household-erase"),
]
