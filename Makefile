# One target a line; each makes the environment it needs, so none depends on another having run.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/.ready

.DEFAULT_GOAL := help
.PHONY: help test lint types clean

help: ## list the targets
	@awk -F':.*## ' '/^[a-z-]+:.*## /{printf "%-14s %s\n", $$1, $$2}' $(MAKEFILE_LIST)

$(READY): pyproject.toml client/pyproject.toml constraints.txt
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e ./client -e '.[dev]'
	@touch $(READY)

test: $(READY) ## make the environment and run all tests
	$(BIN)/python -m pytest

lint: $(READY) ## ruff: style, imports, likely bugs
	$(BIN)/ruff check service client tests

types: $(READY) ## mypy --strict over service and client
	$(BIN)/mypy

clean: ## remove the environment and the caches
	rm -rf $(VENV) .pytest_cache .mypy_cache .ruff_cache .hypothesis .schemathesis build
