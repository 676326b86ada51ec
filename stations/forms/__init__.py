"""The questions a keeper is asked, one form a file."""

from stations.forms.account import InviteForm, JoinForm, SignInForm
from stations.forms.calibration import CalibrationForm
from stations.forms.clock import ClockForm
from stations.forms.instrument import InstrumentForm, RemoveForm
from stations.forms.photo import PhotoForm
from stations.forms.place import PlaceForm
from stations.forms.station import NameForm, NewStationForm

__all__ = [
    "CalibrationForm",
    "ClockForm",
    "InstrumentForm",
    "InviteForm",
    "JoinForm",
    "NameForm",
    "NewStationForm",
    "PhotoForm",
    "PlaceForm",
    "RemoveForm",
    "SignInForm",
]
