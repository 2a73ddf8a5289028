# Two commands do all: `make site` builds the demo department, `make test` runs every check.
PYTHON ?= python3
# A version of pip to install with, in place of the one that PYTHON brings; CI tries the oldest and the newest.
WITH_PIP ?=

# The environment: what runs, and beside it what tests. Each mark is set when its install is whole, and holds the folder that
# it was made for: an install that was interrupted, or a tree that was moved, is noticed and the environment made anew.
ENV := .venv
RUNS := $(ENV)/runs
TESTS := $(ENV)/tests
ifneq ($(shell cat $(RUNS) 2>/dev/null),$(CURDIR))
$(shell rm -f $(RUNS))
endif

# A complete lock needs no resolver, so nothing that is released later can break it; wheels alone need no compiler.
PIP := $(ENV)/bin/python -m pip --quiet --disable-pip-version-check
INSTALL := $(PIP) install --no-compile --no-deps
LOCKED := $(INSTALL) --require-hashes --only-binary :all: --requirement

BENCH := tests/browser/node_modules/ready

.PHONY: site editions test test-fast authors lock clean

site: $(RUNS)
	@$(ENV)/bin/python -m yokebook build

# The demo's three editions, published anew into published/ by the program's own commands, and the records that come of it.
editions: $(TESTS)
	@$(ENV)/bin/python tests/larkmoor.py published

# The site's own tests, in browsers too; then all others as if the host, mkdocs, and its theme were not installed, physics
# with coverage.
PYTEST := $(ENV)/bin/python -m pytest --numprocesses auto --dist loadgroup
WITHOUT_HOST := PYTHONPATH=tests/without_host $(PYTEST)
OTHERS := --ignore tests/browser --ignore tests/site --ignore tests/test_code.py --ignore tests/physics

test: $(TESTS) $(BENCH)
	$(PYTEST) tests/site tests/test_code.py tests/browser
	$(WITHOUT_HOST) $(OTHERS)
	$(WITHOUT_HOST) tests/physics --cov yokebook.physics --cov-branch --cov-fail-under 100

# While one works: without browsers, the slow tests and coverage.
test-fast: $(TESTS)
	$(PYTEST) -m "not slow" tests/site tests/test_code.py
	$(WITHOUT_HOST) -m "not slow" $(OTHERS)
	$(WITHOUT_HOST) -m "not slow" tests/physics

# The author's reference, after a change of a call, a field of the data or a code.
authors: $(RUNS)
	$(ENV)/bin/python -m yokebook.reference.author_pages content/pages/writing

# What runs, from its hashed lock file: the same packages, byte for byte, on each machine.
$(RUNS): requirements.lock pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(not (3, 11) <= sys.version_info < (3, 14))' || \
		{ echo "Python 3.11, 3.12 or 3.13 is needed; $(PYTHON) is another, or is missing. Example: make site PYTHON=python3.12"; exit 1; }
	@echo "Making the environment in $(ENV), once; it takes about a minute."
	@$(PYTHON) -m venv --clear $(ENV)
	@$(if $(WITH_PIP),$(PIP) install $(WITH_PIP))
	@$(LOCKED) requirements.lock
	@$(INSTALL) --no-build-isolation --editable .
	@$(PIP) check
	@$(PIP) --quiet uninstall --yes setuptools
	@printf '%s\n' "$(CURDIR)" > $(RUNS)

# What tests it, into the same environment, which is not whole until both are there.
$(TESTS): tests/requirements.lock $(RUNS)
	@rm $(RUNS)
	@echo "Adding to the environment what the tests need, once."
	@$(LOCKED) tests/requirements.lock
	@$(PIP) check
	@printf '%s\n' "$(CURDIR)" | tee $(RUNS) > $(TESTS)

# What checks the built pages, by the hashes of its lock file. Without npm those tests are left out, and say so.
$(BENCH): tests/browser/package-lock.json
	@if command -v npm >/dev/null; then npm ci --silent --prefix tests/browser && touch $(BENCH); fi

# After a change of the dependencies in pyproject.toml. Both locks come of one run, so that they agree, with one version of a
# package for all Pythons. `make lock UPGRADE=--upgrade` takes the newest of each.
UPGRADE ?=
RESOLVE := $(ENV)-lock/bin/uv pip compile pyproject.toml --extra source --universal --python-version 3.11 \
	--fork-strategy fewest --generate-hashes --no-strip-extras --no-emit-index-url --no-header --no-annotate --quiet
lock:
	$(PYTHON) -m venv --clear $(ENV)-lock
	$(ENV)-lock/bin/python -m pip install --quiet --disable-pip-version-check uv
	$(RESOLVE) --extra pdf --extra test $(UPGRADE) --output-file tests/requirements.lock
	cp tests/requirements.lock requirements.lock
	$(RESOLVE) --constraint tests/requirements.lock --output-file requirements.lock

clean:
	rm -rf $(ENV) $(ENV)-lock .yokebook site published tests/browser/node_modules
