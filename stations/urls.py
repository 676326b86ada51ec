"""The addresses of keepers' pages."""

from django.contrib.auth.views import LogoutView
from django.urls import path

from stations.views import passwords
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
    path("sign-in/", passwords.SignIn.as_view(), name="sign-in"),
    path("sign-out/", LogoutView.as_view(), name="sign-out"),
    path("password/", passwords.Change.as_view(), name="password"),
    path("password/forgotten/", passwords.Forgotten.as_view(), name="password-forgotten"),
    path("password/sent/", passwords.Sent.as_view(), name="password-sent"),
    path("password/<uidb64>/<token>/", passwords.New.as_view(), name="password-new"),
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
