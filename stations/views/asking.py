"""A page that asks once before something is done: what will happen in plain words, then one button."""

from collections.abc import Callable
from dataclasses import dataclass, field

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from stations.belonging import MustStay
from stations.models import Village


@dataclass(frozen=True)
class Asked:
    """Everything stations/asked.html may show."""

    village: Village | None
    title: str
    sentences: list[str]  # what will happen
    button: str
    back: str
    problem: str = ""  # why it cannot be done now: then there is no button
    form: forms.Form | None = None
    ways: list[tuple[str, str]] = field(default_factory=list)  # what to do first instead: addresses and words


def ask(
    request: HttpRequest, asked: Asked, go: Callable[[], object], done: str, to: str, *args: object
) -> HttpResponse:
    """Show the page, or do it, say so, and lead on. What cannot be done says why and changes nothing."""
    sound = asked.form is None or asked.form.is_valid()
    if request.method == "POST" and not asked.problem and sound:
        try:
            go()
        except MustStay as problem:
            messages.error(request, str(problem))
            return redirect(asked.back)
        messages.success(request, done)
        return redirect(to, *args)
    refused = request.method == "POST"
    return render(request, "stations/asked.html", {"page": asked}, status=400 if refused else 200)
