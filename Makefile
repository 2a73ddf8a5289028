# Two commands do all: `make site` builds the demo department, `make test` runs every check.
PYTHON ?= python3
ENV := .venv
READY := $(ENV)/ready

BENCH := tests/browser/node_modules/ready

.PHONY: site editions test test-fast authors lock clean

site: $(READY)
	@$(ENV)/bin/yokebook build

# The demo's three editions, published anew into published/ by the program's own commands, and the records that come of it.
editions: $(READY)
	@$(ENV)/bin/python tests/larkmoor.py published

# The site's own tests, in browsers too; then all others as if the host, mkdocs, and its theme were not installed, physics
# with coverage.
PYTEST := $(ENV)/bin/python -m pytest --numprocesses auto --dist loadgroup
WITHOUT_HOST := PYTHONPATH=tests/without_host $(PYTEST)
OTHERS := --ignore tests/browser --ignore tests/site --ignore tests/test_code.py --ignore tests/physics

test: $(READY) $(BENCH)
	$(PYTEST) tests/site tests/test_code.py tests/browser
	$(WITHOUT_HOST) $(OTHERS)
	$(WITHOUT_HOST) tests/physics --cov yokebook.physics --cov-branch --cov-fail-under 100

# While one works: without browsers, the slow tests and coverage.
test-fast: $(READY)
	$(PYTEST) -m "not slow" tests/site tests/test_code.py
	$(WITHOUT_HOST) -m "not slow" $(OTHERS)
	$(WITHOUT_HOST) -m "not slow" tests/physics

# The author's reference, after a change of a call, a field of the data or a code.
authors: $(READY)
	$(ENV)/bin/python -m yokebook.reference.author_pages content/pages/writing

# Its own environment, from the hashed lock file: the same packages, byte for byte, on each machine.
$(READY): requirements.lock pyproject.toml
	$(PYTHON) -m venv --clear $(ENV)
	$(ENV)/bin/python -m pip install --quiet --disable-pip-version-check --require-hashes --requirement requirements.lock
	$(ENV)/bin/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation --editable .
	@touch $(READY)

# What checks the built pages, by the hashes of its lock file. Without npm those tests are left out, and say so.
$(BENCH): tests/browser/package-lock.json
	@if command -v npm >/dev/null; then npm ci --silent --prefix tests/browser && touch $(BENCH); fi

# After a change of the dependencies in pyproject.toml.
lock:
	$(PYTHON) -m venv --clear $(ENV)-lock
	$(ENV)-lock/bin/python -m pip install --quiet --disable-pip-version-check uv
	$(ENV)-lock/bin/uv pip compile pyproject.toml --extra pdf --extra test --upgrade --universal --python-version 3.11 \
		--generate-hashes --no-emit-index-url --no-header --quiet --output-file requirements.lock

clean:
	rm -rf $(ENV) $(ENV)-lock .yokebook site published tests/browser/node_modules
