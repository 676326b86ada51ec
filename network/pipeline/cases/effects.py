"""What a decision about a case does to the station's metadata, and how that is taken back exactly.

Rows are changed past the signals that watch metadata: those would compute a channel's whole life again,
where only what comes after the change can differ.
"""

from collections.abc import Callable
from contextlib import suppress
from copy import copy
from datetime import datetime
from typing import Any

from django.db.models import prefetch_related_objects

from network.models import Case, Decision, Observation
from network.models.decision import WITH_IT
from network.pipeline.cases import setting
from network.pipeline.cases.setting import NotPossible
from network.pipeline.metadata.changes import touch
from network.pipeline.metadata.stretches import epoch
from network.pipeline.metadata.tongue import from_epoch
from network.quality.verdict import GOOD
from network.science.calibration import KINDS
from network.science.units import UnknownUnit, WrongDimension, convert, find
from network.science.variables import VARIABLES
from stations.models import Calibration, Channel

Parameters = dict[str, Any]
Kind = Decision.Kind


def take(case: Case, kind: str, given: Parameters, by: Any) -> Parameters:
    """Do what a kind of decision does; returns what undoing it needs. Raises NotPossible."""
    taken = _TAKE[kind](case, given, by) if kind in _TAKE else {}
    case.station.refresh_from_db()  # and forget the metadata read with it: it has changed
    return {"case": case.pk, "check": case.check_name} | taken


def take_back(decision: Decision) -> None:
    """Leave the metadata as it was before the decision."""
    if decision.kind in _TAKE_BACK:
        _TAKE_BACK[decision.kind](decision)


def channel_of(case: Case) -> Channel:
    """The channel that said the readings of a case. Raises NotPossible for what is derived."""
    prefetch_related_objects([case.station], "channels__instrument", "channels__calibrations")
    for channel in case.station.channels.all():
        held = epoch(channel.begins_at) <= case.ends_at < epoch(channel.ends_at)
        if held and channel.instrument.variable == case.variable:
            return channel
    raise NotPossible("No channel sends this variable itself: decide about what it is worked out from.")


def since(case: Case, channel: Channel, given: Parameters) -> datetime:
    """From when a mended channel holds: as given, or its beginning where nothing it said before was good."""
    begins_at = given.get("since", case.begins_at)
    good_before = Observation.objects.filter(
        station=case.station,
        observed_at__gte=epoch(channel.begins_at),
        observed_at__lt=begins_at,
        **{f"{case.variable}_mark": GOOD},
    )
    if "since" in given or good_before.exists():
        return max(from_epoch(begins_at), channel.begins_at)
    return channel.begins_at


def mended_unit(case: Case, unit: str) -> tuple[Channel, str]:
    """The case's channel, and the symbol of the unit it should speak. Raises NotPossible."""
    channel = channel_of(case)
    for spoken in (channel.unit, unit):
        _must_be_of(case, spoken)
    if find(unit) == find(channel.unit):
        raise NotPossible("The channel speaks that unit already: choose another.")
    return channel, find(unit).symbol


def shifted(case: Case, given: Parameters) -> Calibration:
    """The calibration to hold from then on, unsaved: the one in force with the offset [canonical unit] added.

    Its ``pk`` is that of the one it takes the place of, None where it begins later. Raises NotPossible.
    """
    channel = channel_of(case)
    made = [one for one in channel.calibrations.all() if epoch(one.begins_at) <= case.ends_at]
    if not made:
        _must_be_of(case, channel.unit)
    at = max([since(case, channel, given), *(one.begins_at for one in made)])
    replaced = next((one.pk for one in made if one.begins_at == at), None)
    kind, figures = (made[-1].kind, made[-1].parameters) if made else ("gain_offset", {"gain": 1.0})
    return Calibration(
        pk=replaced,
        channel=channel,
        begins_at=at,
        kind=kind,
        parameters=_added(kind, figures, float(given["offset"])),
    )


def _must_be_of(case: Case, unit: str) -> None:
    """Refuse a unit in which the case's variable cannot be said, such as a raw count."""
    try:
        convert(0.0, unit, VARIABLES[case.variable].unit)
    except (UnknownUnit, WrongDimension) as problem:
        raise NotPossible(str(problem)) from problem


def _added(kind: str, figures: Parameters, offset: float) -> Parameters:
    """The figures of a calibration that gives ``offset`` more."""
    if kind == "gain_offset":
        return figures | {"offset": figures.get("offset", 0.0) + offset}
    if kind == "polynomial":
        constant, *others = figures["coefficients"]
        return figures | {"coefficients": [constant + offset, *others]}
    if kind == "table":
        return figures | {"points": [[x, y + offset] for x, y in figures["points"]]}
    raise NotPossible(
        f"The channel is calibrated with {KINDS[kind].words}, to which nothing can be added: "
        "ask its keeper for new figures."
    )


def _change_unit(case: Case, given: Parameters, by: Any) -> Parameters:
    if not given.get("unit"):
        raise NotPossible("Say which unit the device really sends.")
    old, unit = mended_unit(case, given["unit"])
    changes = [_speak(one, unit, since(case, one, given)) for one in (old, *_speaking_with(case, old))]
    return {"unit": unit, "before": old.unit, "since": changes[0]["since"], "changes": changes}


def _speaking_with(case: Case, old: Channel) -> list[Channel]:
    """Other channels of the same instrument that speak the same unit: what is wrong with one is with all."""
    found = []
    for variable in WITH_IT.get(case.variable, ()):
        about = copy(case)
        about.variable = variable
        with suppress(NotPossible):
            found.append(channel_of(about))
    return [one for one in found if one.unit == old.unit]


def _speak(old: Channel, unit: str, at: datetime) -> Parameters:
    """Let a channel speak another unit from then on; what taking that back needs."""
    ended = old.ends_at
    change = {"channel": old.pk, "before": old.unit, "since": epoch(at)}
    if at <= old.begins_at:  # it never spoke the other unit
        Channel.objects.filter(pk=old.pk).update(unit=unit)
    else:
        Channel.objects.filter(pk=old.pk).update(ends_at=at)
        change |= {"new_channel": _succeed(old, unit, at).pk, "ended": ended and ended.isoformat()}
    touch(old.station, at, ended)
    return change


def _succeed(old: Channel, unit: str, at: datetime) -> Channel:
    """A channel that goes on where the old one ends, with the calibrations that hold from then on."""
    new = Channel(
        station=old.station,
        instrument=old.instrument,
        name=old.name,
        unit=unit,
        begins_at=at,
        ends_at=old.ends_at,
    )
    Channel.objects.bulk_create([new])
    made = list(old.calibrations.all())
    held = [one for one in made if one.begins_at <= at][-1:] + [one for one in made if one.begins_at > at]
    for one in held:
        one.pk, one.channel, one.begins_at = None, new, max(one.begins_at, at)
    Calibration.objects.bulk_create(held)
    return new


def _unchange_unit(decision: Decision) -> None:
    for change in decision.parameters["changes"]:
        old = Channel.objects.get(pk=change["channel"])
        ended = old.ends_at
        if "new_channel" in change:
            ended = change["ended"] and datetime.fromisoformat(change["ended"])
            Channel.objects.filter(pk=change["new_channel"]).delete()
            Channel.objects.filter(pk=old.pk).update(ends_at=ended)
        else:
            Channel.objects.filter(pk=old.pk).update(unit=change["before"])
        touch(old.station, from_epoch(change["since"]), ended)


def _calibrate(case: Case, given: Parameters, by: Any) -> Parameters:
    offset = given.get("offset")
    if not offset:
        raise NotPossible("Say how much is to be added to each reading; it may be negative, but not nothing.")
    made = shifted(case, given)
    made.made_by, made.reason = by, "decided by the steward"
    before = Calibration.objects.filter(pk=made.pk).values(*_FIGURES).first()
    if before:
        Calibration.objects.filter(pk=made.pk).update(**{name: getattr(made, name) for name in _FIGURES})
    else:
        Calibration.objects.bulk_create([made])
    touch(made.channel.station, made.begins_at, made.channel.ends_at)
    return {
        "offset": float(offset),
        "calibration": made.pk,
        "channel": made.channel.pk,
        "since": epoch(made.begins_at),
        "before": before,
    }


def _uncalibrate(decision: Decision) -> None:
    was = decision.parameters
    calibrations = Calibration.objects.filter(pk=was["calibration"])
    if was["before"]:
        calibrations.update(**was["before"])
    else:
        calibrations.delete()
    touch(decision.station, from_epoch(was["since"]), Channel.objects.get(pk=was["channel"]).ends_at)


_FIGURES = ("kind", "parameters", "reason", "made_by_id")

_TAKE: dict[str, Callable[[Case, Parameters, Any], Parameters]] = {
    Kind.CHANGE_UNIT: _change_unit,
    Kind.CALIBRATE: _calibrate,
    Kind.FIX_CLOCK: setting.fix_clock,
}
_TAKE_BACK: dict[str, Callable[[Decision], None]] = {
    Kind.CHANGE_UNIT: _unchange_unit,
    Kind.CALIBRATE: _uncalibrate,
    Kind.FIX_CLOCK: setting.take_back,
}
