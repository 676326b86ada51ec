"""The fault bench: labelled faults sent through the real hub, and how well each kind is found.

    python -m tests.faults [--tuning] [--quick] [KIND ...]

``make faults`` measures all kinds and writes ``build/faults.json``. Who writes a check runs it with ``--tuning``:
other seeds, so that nobody sees the weather of the reported table while choosing a threshold. ``KIND`` is the
beginning of a kind's name ('spike', 'unit', 'light shaded'), or ``clean``, ``severe``, ``open``; ``--quick`` takes a
quarter of the events, at ten stations only. ``--events`` lists each event, so that one can look into what was missed.

Worlds of ten stations, nine variables, five minutes and 36 days in the demo's weather, with honest instruments:
noise, resolution, small siting errors. Faults change what a board sends; its reports go in by the door,
and what the hub made of them is read from marks, evidence and open cases. Maps and summaries, which say nothing of
verdicts, are left out. A station has one fault at a time, and of each variable no more than two stations of ten are
spoilt at a time. Worlds of
fewer stations are a garden and those nearest to it.

Words of the table, as ``judge`` has them:

- *event*: one fault of one station from its first affected reading to its last. A reading is affected if the fault
  carries it further than the instrument's standard error, or, where ``kinds`` says so, all within the span.
- *found* (event recall): a reading of it is doubtful or wrong because of a check that may speak of such a fault, or
  a case of such a check is open over it. Duplicates and gaps are 'found' when they change nothing: no reading is
  doubted and no row is lost or invented.
- *reading recall*: share of its readings that are doubtful or wrong.
- *precision*: of the readings doubted at that station within three days, in the variables it may spoil, the share
  that is affected, or within two hours (the patience of the usual check) of one that is.
- *delay*: from the first affected reading to when the hub could say so, asking its checks again with all that came
  later taken away, at moments from minutes to days after it; median of some events of each kind, in hours.
- *in time*: of the kinds to which a time is set (a clock an hour off within three days, a blocked gauge by the end of
  the second wet event, a stuck rotor within a windy day), the share of all events that the hub could speak of by then,
  asked in the same way.
- *right reason*: share of found events for which the weightiest open case, or where there is none the first evidence,
  names the right cause.
"""
