# What a new user needs: `make demo`. What a developer needs: `make check`, `make test`, `make test-all`, `make measure`.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
export OMP_NUM_THREADS := 1
export OPENBLAS_NUM_THREADS := 1
export PYTHONHASHSEED := 0
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check
DEMO ?= demo-works

# `make test` holds every test of `make check`, so it does not run them twice.
.PHONY: words setup setup-tests demo lint check test test-all lock measure clean

setup: $(VENV)/.ready

$(VENV)/.ready: requirements.lock requirements/build.lock pyproject.toml
	$(PYTHON) tools/needs --python
	rm -f $@
	test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	$(PIP) --require-hashes --only-binary :all: -r requirements.lock
	$(PIP) --require-hashes --only-binary :all: -r requirements/build.lock
	$(PIP) --no-deps --no-build-isolation --editable .
	$(BIN)/python -m bedwright.mechanics.warm
	touch $@

setup-tests: $(VENV)/.ready-tests

$(VENV)/.ready-tests: $(VENV)/.ready requirements/tests.lock
	rm -f $@
	$(PIP) --require-hashes --only-binary :all: -r requirements/tests.lock
	touch $@

demo: setup
	$(BIN)/bedwright new $(DEMO) --demo --replace
	$(BIN)/bedwright run $(DEMO)

lint: setup-tests
	$(BIN)/ruff check src tests tools measures examples
	$(BIN)/ruff format --check src tests tools measures examples
	$(BIN)/mypy
	$(BIN)/lint-imports --no-cache
	$(BIN)/python tools/words-page --check

check: lint
	$(BIN)/python -m pytest tests -m "not full" --ignore tests/worked --ignore tests/journeys --ignore tests/papers --ignore tests/property \
		--ignore tests/mechanics/test_bed_balance.py --ignore tests/mechanics/test_intervals.py \
		--ignore tests/mechanics/test_pad_test.py --ignore tests/mechanics/test_plain_changes.py \
		--ignore tests/mechanics/test_plain_solver.py --ignore tests/mechanics/test_energy.py \
		--ignore tests/mechanics/test_energy_of_beds.py --ignore tests/mechanics/test_edge_sit.py \
		--ignore tests/mechanics/test_roller_life.py --ignore tests/mechanics/test_panel_tension.py \
		--ignore tests/site/browser --ignore tests/site/kills --ignore tests/site/commands --ignore tests/site/doors \
		--ignore tests/site/office --ignore tests/site/longwork --ignore tests/site/records/test_views.py \
		--ignore tests/site/records/test_backup.py --ignore tests/site/records/test_restore.py \
		--ignore tests/site/records/test_interleavings.py --ignore tests/site/records/test_together.py \
		--ignore tests/site/records/test_postgres_smoke.py --ignore tests/site/records/test_kinds.py

test: lint
	$(PYTHON) tools/needs --tests
	$(BIN)/python -m pytest tests -m "not full" --durations 8

test-all: check
	$(PYTHON) tools/needs --tests --all
	tools/test-all $(BIN)/python

lock:
	tools/lock

words: setup
	$(BIN)/python tools/words-page

measure: setup-tests
	$(BIN)/python -m measures

measure-%: setup-tests
	$(BIN)/python -m measures $*

clean:
	rm -rf $(VENV) demo-works .mypy_cache .ruff_cache .pytest_cache
