"""The tables of who measures what, and where."""

from stations.models.calibration import Calibration
from stations.models.clock import Clock
from stations.models.ground import Ground
from stations.models.household import Household, Invitation, Membership
from stations.models.instrument import Channel, Instrument
from stations.models.key import DeviceKey
from stations.models.photo import Photo
from stations.models.placement import Placement
from stations.models.siting import SitingDraft, SitingNote
from stations.models.station import Station
from stations.models.village import Village

__all__ = [
    "Calibration",
    "Channel",
    "Clock",
    "DeviceKey",
    "Ground",
    "Household",
    "Instrument",
    "Invitation",
    "Membership",
    "Photo",
    "Placement",
    "SitingDraft",
    "SitingNote",
    "Station",
    "Village",
]
