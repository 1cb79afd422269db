# make run    a demo shop on this machine: needs Python 3.11 or newer, git and make
# make test   a day's tests    make lint   style, types, layers, templates
# make nightly    the rest of long proofs, and everything again on PostgreSQL
# make messages   the catalogues of locale/, after a sentence changed
# make bench  times of the engine

PYTHON ?= $(shell for p in python3.13 python3.12 python3.11 python3; do \
	"$$p" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null && echo $$p && break; done)
VENV ?= .venv
BIN := $(VENV)/bin
PORT ?= 8000
ARGS ?=
# Workers of a test run: auto is one for each core, 0 none.
JOBS ?= auto
CATALOGUES := $(patsubst %.po,%.mo,$(wildcard locale/*/LC_MESSAGES/django.po))
PYTEST := $(BIN)/python -m pytest -rs -n $(JOBS) --dist worksteal --durations 10
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check --no-input --require-hashes

.PHONY: run install dev test lint messages bench nightly clean which-python

run: install
	@$(BIN)/python manage.py migrate --skip-checks --no-input --verbosity 0
	@$(BIN)/python manage.py demo_shop --if-empty
	@echo
	@$(BIN)/python manage.py clearance_check_text W0001 || true
	@echo
	@echo "Archroom: http://127.0.0.1:$(PORT)/   (stop with Ctrl-C; the data stay in var/)"
	@$(BIN)/python manage.py demo_shop --sign-ins
	@DJANGO_RUNSERVER_HIDE_WARNING=true $(BIN)/python manage.py runserver --skip-checks 127.0.0.1:$(PORT)

install: $(VENV)/.runtime $(CATALOGUES)

dev: $(VENV)/.dev $(CATALOGUES)

$(BIN)/python:
	@test -n "$(PYTHON)" || { echo "Python 3.11 or newer is needed, and none was found."; exit 1; }
	$(PYTHON) -m venv $(VENV)

$(VENV)/.runtime: requirements.txt | $(BIN)/python
	$(PIP) -r requirements.txt
	@touch $@

$(VENV)/.dev: requirements-dev.txt | $(BIN)/python
	$(PIP) -r requirements-dev.txt
	@touch $@ $(VENV)/.runtime

%.mo: %.po | $(VENV)/.runtime
	@$(BIN)/python manage.py compilemessages

messages: dev
	$(BIN)/python manage.py makemessages
	@$(BIN)/python manage.py compilemessages

test: dev
	$(PYTEST) $(ARGS)

lint: dev
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/python -m mypy
	$(BIN)/lint-imports
	$(BIN)/djade --target-version 5.2 --check $$(git ls-files 'templates/*.html')
	$(BIN)/python manage.py makemigrations --check --dry-run

bench: dev
	$(BIN)/python -m tests.benchmarks.bench_engine $(ARGS)
	$(BIN)/python -m tests.benchmarks.bench_page

which-python:
	@echo $(PYTHON)

nightly: dev
	ARCHROOM_SQLITE_RUN=1 $(PYTEST) -m nightly $(ARGS)
	.ci/with-postgres $(PYTEST) -m "" --ignore tests/engine --ignore tests/outside

clean:
	rm -rf $(VENV) $(CATALOGUES) .mypy_cache .ruff_cache .pytest_cache .import_linter_cache
