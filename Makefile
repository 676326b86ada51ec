# What one types in this project; `make` alone lists it.
#
# The environment lives in .venv and follows the lock files: a copy of the lock last installed stays
# beside it, so nothing is installed twice. uv does it where there is one, pip everywhere else.

SHELL := /bin/bash
.SHELLFLAGS := -euo pipefail -c
.ONESHELL:
.DELETE_ON_ERROR:
.DEFAULT_GOAL := help
.PHONY: help demo test check pictures bench faults scores tables lock clean services

PYTHON ?= python3
ARGS ?=
BIN := .venv/bin
COMPILE := uv pip compile pyproject.toml --universal --python-version 3.11 --fork-strategy fewest \
           --generate-hashes --no-header --quiet

help:  ## List what can be made
	@sed -nE 's/^([a-z]+):[^#]*## (.*)/  make \1\t\2/p' $(MAKEFILE_LIST) | expand -t 16

demo: .venv/installed.lock  ## Set up and show an invented village; PORT=8000 unless told; Ctrl-C ends it
	@HUB_DATA="$${HUB_DATA:-var/demo}" exec $(BIN)/python manage.py demo_village

test: .venv/installed-dev.lock services  ## Set up and run the tests; ARGS="tests/science -k dew" for some
	@exec $(BIN)/python -m pytest -n 2 $(ARGS)

check: .venv/installed-dev.lock  ## Look at form, types, layers and migrations, changing nothing
	@PATH="$$PWD/$(BIN):$$PATH"
	ruff format --check
	ruff check
	mypy
	lint-imports --no-logo
	python manage.py check
	python manage.py makemigrations --check --dry-run

pictures: .venv/installed-dev.lock services  ## Photograph every page by day and night, wide and narrow; see build/pictures/index.html
	@exec $(BIN)/python -m tests.browser.pictures $(ARGS)

bench: .venv/installed-dev.lock services  ## Measure speed and size, print a table, write build/bench.json
	@mkdir -p build
	exec $(BIN)/python -m tests.bench $(ARGS)

faults: .venv/installed-dev.lock  ## Measure how well each kind of fault is found, write build/faults.json
	@mkdir -p build
	exec $(BIN)/python -m tests.faults $(ARGS)

scores: .venv/installed-dev.lock  ## Score the maps beside other methods, print a table, write build/scores.json
	@exec $(BIN)/python -m tests.scores $(ARGS)

tables: .venv/installed-dev.lock  ## Write the documentation's tables anew: of the checks, and of the faults if measured
	@exec $(BIN)/python -m tests.tables

lock:  ## Resolve pyproject.toml anew into the two lock files (needs uv); ARGS="--upgrade" for the newest
	@uv --version > /dev/null || { echo "Locking needs uv: pip install uv, then make lock again." >&2; exit 1; }
	$(COMPILE) $(ARGS) -o requirements.lock
	$(COMPILE) $(ARGS) --group dev --constraints requirements.lock -o requirements-dev.lock

clean:  ## Remove what can be made again; the villages in var/ stay
	@rm -rf .venv build .hypothesis .pytest_cache .mypy_cache .ruff_cache .import_linter_cache
	find . -name __pycache__ -type d -prune -exec rm -rf {} +

services:
	@.ci/packages redis-server:redis-server initdb:postgresql chromium:chromium g++:g++ dash:dash curl:curl mosquitto:mosquitto xgettext:gettext

.venv/installed.lock: requirements.lock
.venv/installed-dev.lock: requirements-dev.lock
.venv/installed.lock .venv/installed-dev.lock: | .venv/bin/python
	@cmp --silent $< $@ && { touch $@; exit; }
	if uv --version > /dev/null 2>&1; then
	  uv pip install --python $(BIN)/python --requirement $<
	else
	  $(BIN)/python -m pip install --disable-pip-version-check --requirement $<
	fi
	cp $< $@

.venv/bin/python:
	@PYTHON=$(PYTHON) .ci/environment .venv
