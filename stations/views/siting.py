"""What stands around each instrument: question by question, and what class follows."""

from dataclasses import dataclass

from django.forms import BoundField
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from network.science.siting import Assessment, added_uncertainty, family_of
from network.science.units import sign
from network.science.variables import VARIABLES
from stations import cautions, figures
from stations import surroundings as told
from stations.around_picture import Rose, rose
from stations.forms.siting import WordsForm
from stations.models import Placement, SitingNote, Station
from stations.registration import Course, placement, sited
from stations.siting_classes import alike, classification, next_better
from stations.siting_course import Question, course, form
from stations.views.describing import form_page
from stations.views.keeper import StepPage, for_keeper


@dataclass(frozen=True)
class Verdict:
    """What the answers so far come to."""

    assessment: Assessment
    means: str  # the class, in a sentence
    adds: str  # what the place adds to the doubt, with its unit
    rose: Rose | None = None

    @property
    def known(self) -> list[str]:
        """Why, the hardest first."""
        return [each.words for each in self.assessment.findings if each.siting_class]


@dataclass(frozen=True)
class Noted:
    """Instruments that stand under the same rules: what was noted last, and what would gain most."""

    variable: str
    words: str
    note: SitingNote | None
    better: str
    verdict: Verdict | None
    draft: bool


@dataclass(frozen=True)
class Asked:
    """A question of the way, with whether it is answered."""

    question: Question
    answered: bool
    here: bool


@dataclass(frozen=True)
class SitingPage(StepPage):
    """Everything stations/siting.html, siting_note.html and siting_question.html may show."""

    noted: tuple[Noted, ...] = ()
    placed: bool = False
    variable: str = ""
    words: str = ""
    instrument: str = ""
    stands: str = ""
    earlier: tuple[SitingNote, ...] = ()
    way: tuple[Asked, ...] = ()
    question: Question | None = None
    before: Question | None = None
    verdict: Verdict | None = None
    drawing: str = ""
    offered: bool = False  # the answer shown was given for another instrument here
    draft: bool = False

    @property
    def rows(self) -> list[tuple[str, BoundField, BoundField, BoundField]]:
        """The eight directions, on the page that asks for them."""
        return self.form.rows if self.question and self.question.name == "around" else []


@require_safe
@for_keeper
def siting(request: HttpRequest, station: Station) -> HttpResponse:
    """Every instrument it has, with its newest note."""
    place = placement(station)
    names = list(dict.fromkeys(_leading(name, sited(station)) for name in sited(station)))
    noted = tuple(_noted(place, name, sited(station)) for name in names) if place else ()
    page = SitingPage(station, Course.of(station, "siting"), noted=noted, placed=place is not None)
    return render(request, "stations/siting.html", {"page": page})


@form_page
@for_keeper
def question(request: HttpRequest, station: Station, variable: str, question: str) -> HttpResponse:
    """One question about the surroundings; each answer is kept, and the class follows at once."""
    place = _place(station, variable)
    known = told.answered(place, variable)
    way = course(variable, known.answers, place)
    here = next((each for each in way if each.name == question), None)
    if here is None:
        raise Http404
    offered = told.offered(place, station, variable).get(question) if question not in known.answers else None
    initial = known.answers.get(question) or offered
    posted = request.POST if request.method == "POST" else None  # an empty answer is an answer
    asked = form(here, variable, known.answers, place, posted, initial=initial)
    if request.method == "POST" and asked.is_valid():
        answers = {**known.answers, question: asked.answer}
        if "preview" in request.POST:
            return _fragment(request, variable, told.Answered(answers, draft=True), place, here)
        told.keep(place, variable, question, asked.answer)
        return _onward(station, variable, course(variable, answers, place), here)
    if request.method == "POST" and "preview" in request.POST:
        return HttpResponse(status=204)  # half typed: leave what stands there
    page = SitingPage(
        station,
        Course.of(station, "siting"),
        asked,
        cautions.for_variable(variable) if here.name == "mast" else (),
        variable=variable,
        words=_words(variable, sited(station)),
        instrument=classification(variable).instrument,
        way=_way(way, known, here),
        question=here,
        before=_beside(way, here, -1),
        verdict=_verdict(variable, known, place, here),
        drawing=f"stations/drawings/{here.name}.html",
        offered=offered is not None,
    )
    return render(request, "stations/siting_question.html", {"page": page})


@form_page
@for_keeper
def note(request: HttpRequest, station: Station, variable: str) -> HttpResponse:
    """What the answers come to; written down, it is a dated note. Earlier notes stay in the log."""
    place = _place(station, variable)
    known, earlier = told.answered(place, variable), _notes(place, variable)
    words = earlier[-1].words if earlier else ""
    asked = WordsForm(
        request.POST or None,
        answered=bool(known.answers),
        hint=classification(variable).look_for,
        initial={"words": words},
    )
    if request.method == "POST" and asked.is_valid():
        together = [variable, *alike(variable, sited(station))]
        told.write(place, together, asked.cleaned_data["words"], timezone.now(), request.user)
        return redirect("register-siting", station.pk)
    verdict = _verdict(variable, known, place, None)
    page = SitingPage(
        station,
        Course.of(station, "siting"),
        asked,
        _take_care(variable, verdict),
        variable=variable,
        words=_words(variable, sited(station)),
        instrument=classification(variable).instrument,
        stands=classification(variable).height,
        earlier=tuple(reversed(earlier)),
        way=_way(course(variable, known.answers, place), known, None),
        verdict=verdict,
        draft=known.draft,
    )
    return render(request, "stations/siting_note.html", {"page": page})


def _take_care(variable: str, verdict: Verdict | None) -> tuple[str, ...]:
    gain = verdict.assessment.gain if verdict else None
    change = cautions.for_change(gain.words) if gain else ()
    return tuple(dict.fromkeys((*cautions.for_variable(variable), *change)))


def _fragment(
    request: HttpRequest, variable: str, known: told.Answered, place: Placement, here: Question
) -> HttpResponse:
    verdict = _verdict(variable, known, place, here)
    return render(request, "stations/_worked_out.html", {"verdict": verdict})


def _onward(station: Station, variable: str, way: tuple[Question, ...], here: Question) -> HttpResponse:
    after = _beside(way, here, 1)
    if after is None:
        return redirect("register-siting-note", station.pk, variable)
    return redirect("register-siting-question", station.pk, variable, after.name)


def _beside(way: tuple[Question, ...], here: Question, step: int) -> Question | None:
    at = way.index(here) + step
    return way[at] if 0 <= at < len(way) else None


def _way(way: tuple[Question, ...], known: told.Answered, here: Question | None) -> tuple[Asked, ...]:
    return tuple(Asked(each, each.name in known.answers, each is here) for each in way)


def _verdict(variable: str, known: told.Answered, place: Placement, here: Question | None) -> Verdict | None:
    found = known.assessment(variable, place)
    if found is None:
        return None
    around = told.surroundings(known.answers, place.latitude).obstacles
    drawn = rose(around) if here and here.name == "around" and around is not None else None
    classes = classification(variable).classes
    return Verdict(found, classes[found.at_best - 1], _adds(variable, found.siting_class), drawn)


def _adds(variable: str, siting_class: int | None) -> str:
    """What the class adds to the standard error, where it adds anything."""
    found = VARIABLES[variable]
    adds = added_uncertainty(found, siting_class) if siting_class else 0.0
    return f"±{figures.shown_difference(found, adds):.2g} {sign(found.shown_unit)}" if adds else ""


def _place(station: Station, variable: str) -> Placement:
    place = placement(station)
    if place is None or variable not in sited(station):
        raise Http404
    return place


def _leading(variable: str, among: list[str]) -> str:
    """The first of a station's variables that stand under the same rules."""
    family = family_of(variable)
    return next((name for name in among if family and family_of(name) == family), variable)


def _words(variable: str, among: list[str]) -> str:
    together = [VARIABLES[name].words for name in (variable, *alike(variable, among))]
    return together[0] if len(together) == 1 else f"{', '.join(together[:-1])} and {together[-1]}"


def _notes(place: Placement, variable: str) -> list[SitingNote]:
    return [note for note in place.siting_notes.all() if note.variable == variable]


def _noted(place: Placement, variable: str, among: list[str]) -> Noted:
    notes = _notes(place, variable)
    last = notes[-1] if notes else None
    known = told.answered(place, variable)
    verdict = _verdict(variable, known, place, None)
    better = "" if verdict else next_better(variable, last.siting_class if last else None)
    return Noted(variable, _words(variable, among), last, better, verdict, known.draft)
