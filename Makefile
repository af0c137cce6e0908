# Two commands matter: `make demo` and `make test`. Both set themselves up, as does `make serve`.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin

.PHONY: demo serve test check bench docs lock format clean

$(VENV)/run.stamp: requirements.txt pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	touch $@

$(VENV)/dev.stamp: requirements-dev.txt $(VENV)/run.stamp
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements-dev.txt
	touch $@

demo: $(VENV)/run.stamp
	@$(BIN)/python examples/demo.py

# The workshop's site; HOST=0.0.0.0 lets tablets and phones on the network in.
HOST ?= 127.0.0.1
PORT ?= 8800
serve: $(VENV)/run.stamp
	@$(BIN)/loomwright serve --host $(HOST) --port $(PORT)

# One thread for each of the two workers: more would stand in each other's way.
# What is compiled once is kept, even where the machine is told to keep nothing.
test: check
	PYTHONDONTWRITEBYTECODE= OMP_NUM_THREADS=1 $(BIN)/python -m pytest -n 2 --dist loadfile --no-loadscope-reorder

check: $(VENV)/dev.stamp
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports

bench: $(VENV)/dev.stamp
	@for script in benchmarks/bench_*.py; do echo "== $$script"; $(BIN)/python $$script || exit 1; done

docs: $(VENV)/dev.stamp
	$(BIN)/python docs/generate.py

format: $(VENV)/dev.stamp
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

# Renew the locked versions; the files hold hashes and no index address.
LOCK := $(BIN)/uv pip compile pyproject.toml --universal --python-version 3.11 --generate-hashes \
	--no-header --no-annotate --quiet --upgrade
lock: $(VENV)/dev.stamp
	$(BIN)/python -m pip install --quiet uv
	$(LOCK) --extra setup --output-file requirements.txt
	$(LOCK) --extra setup --extra dev --output-file requirements-dev.txt

clean:
	rm -rf $(VENV) build dist
