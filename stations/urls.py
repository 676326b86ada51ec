"""The addresses of keepers' pages."""

from django.contrib.auth import views as accounts
from django.urls import path, reverse_lazy

from stations.forms import SignInForm
from stations.views.accounts import invite, join
from stations.views.calibration import calibration
from stations.views.describing import clock, elevation, name, new, place
from stations.views.household import appoint, household, leave, step_down, withdraw
from stations.views.household import remove as remove_member
from stations.views.instruments import add, edit, instruments, remove
from stations.views.keys import key, revoke
from stations.views.mine import mine
from stations.views.photos import change, photo, photos
from stations.views.programs import program_file
from stations.views.siting import note, question, siting

_STATION = "my/stations/<int:pk>/"
_HOUSEHOLD = "my/households/<int:pk>/"

urlpatterns = [
    path(
        "sign-in/",
        accounts.LoginView.as_view(template_name="stations/sign_in.html", authentication_form=SignInForm),
        name="sign-in",
    ),
    path("sign-out/", accounts.LogoutView.as_view(), name="sign-out"),
    path(
        "password/",
        accounts.PasswordChangeView.as_view(
            template_name="stations/password.html", success_url=reverse_lazy("my-stations")
        ),
        name="password",
    ),
    path(
        "password/forgotten/",
        accounts.PasswordResetView.as_view(
            template_name="stations/password_forgotten.html",
            email_template_name="stations/password_forgotten.txt",
            subject_template_name="stations/password_forgotten_subject.txt",
            success_url=reverse_lazy("password-sent"),
        ),
        name="password-forgotten",
    ),
    path(
        "password/sent/",
        accounts.PasswordResetDoneView.as_view(template_name="stations/password_sent.html"),
        name="password-sent",
    ),
    path(
        "password/<uidb64>/<token>/",
        accounts.PasswordResetConfirmView.as_view(
            template_name="stations/password_new.html", success_url=reverse_lazy("sign-in")
        ),
        name="password-new",
    ),
    path("join/<str:secret>/", join, name="join"),
    path("my/", mine, name="my-stations"),
    path("my/invite/", invite, name="invite"),
    path(_HOUSEHOLD, household, name="household"),
    path(f"{_HOUSEHOLD}leave/", leave, name="household-leave"),
    path(f"{_HOUSEHOLD}step-down/", step_down, name="member-step-down"),
    path(f"{_HOUSEHOLD}people/<int:membership>/remove/", remove_member, name="member-remove"),
    path(f"{_HOUSEHOLD}people/<int:membership>/steward/", appoint, name="member-appoint"),
    path(f"{_HOUSEHOLD}invitations/<int:invitation>/withdraw/", withdraw, name="invitation-withdraw"),
    path("my/stations/new/", new, name="register"),
    path(f"{_STATION}name/", name, name="register-name"),
    path(f"{_STATION}place/", place, name="register-place"),
    path(f"{_STATION}place/elevation", elevation, name="register-elevation"),
    path(f"{_STATION}instruments/", instruments, name="register-instruments"),
    path(f"{_STATION}instruments/add/<slug:variable>/", add, name="register-instrument-add"),
    path(f"{_STATION}instruments/<int:channel>/", edit, name="register-instrument"),
    path(f"{_STATION}instruments/<int:channel>/remove/", remove, name="register-instrument-remove"),
    path(f"{_STATION}instruments/<int:channel>/calibration/", calibration, name="register-calibration"),
    path(f"{_STATION}siting/", siting, name="register-siting"),
    path(f"{_STATION}siting/<slug:variable>/", note, name="register-siting-note"),
    path(f"{_STATION}siting/<slug:variable>/<slug:question>/", question, name="register-siting-question"),
    path(f"{_STATION}photos/", photos, name="register-photos"),
    path(f"{_STATION}photos/<int:photo>/", change, name="register-photo-change"),
    path("photos/<int:photo>.jpg", photo, name="photo"),
    path(f"{_STATION}clock/", clock, name="register-clock"),
    path(f"{_STATION}key/", key, name="register-key"),
    path(f"{_STATION}key/<int:key>/revoke/", revoke, name="register-key-revoke"),
    path(f"{_STATION}key/program/<slug:kind>", program_file, name="register-program"),
]
