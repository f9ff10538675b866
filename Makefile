# One target a line; each makes the environment it needs, so none depends on another having run.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/.ready
LOCK = $(BIN)/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-annotate --custom-compile-command "make lock"

.DEFAULT_GOAL := help
.PHONY: help demo test test-pages test-embed test-clients workbook serve bench curves stream contract lock sbom test-image texts lint types fuzz siege faults soak digest test-types element clean

help: ## list the targets
	@awk -F':.*## ' '/^[a-z-]+:.*## /{printf "%-14s %s\n", $$1, $$2}' $(MAKEFILE_LIST)

$(READY): pyproject.toml client/pyproject.toml client/shelf/pyproject.toml constraints.txt
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e ./client -e ./client/shelf -e '.[dev]'
	@touch $(READY)

test: $(READY) ## make the environment and run all tests, in two processes
	$(BIN)/python -m pytest -n 2 --dist loadfile

demo: $(READY) ## start the service, plan two invented batches through the client, write their sheets to build/
	$(BIN)/python client/examples/demo.py build

serve: $(READY) ## run the service on 127.0.0.1:8000 (KETTLEWRIGHT_LISTEN) until Ctrl-C
	$(BIN)/gunicorn --config python:kettlewright.gunicorn_conf "kettlewright.app:create_app()"

bench: $(READY) ## this folder beside commit BASE, a bare echo and FastAPI, interleaved: about 8 minutes, writes tests/benchmarks/RESULTS.md (SHORT=1: a minute)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[bench]'
	$(BIN)/python tests/benchmarks/bench.py $(if $(BASE),--base $(BASE)) $(if $(SHORT),--short)

curves: $(READY) ## how CPU time grows with fats, portions, layers, bars ...: writes tests/benchmarks/CURVES.md and curves.svg
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[bench]'
	$(BIN)/python tests/benchmarks/curves.py

stream: $(READY) ## one request of LINES batches (100,000: some minutes), and the memory of the worker meanwhile
	$(BIN)/python tests/benchmarks/streams.py $(or $(LINES),100000)

fuzz: $(READY) ## a longer schemathesis run, in process and over HTTP (not part of make test)
	FUZZ_EXAMPLES=400 FUZZ_BOUNDARIES=1 $(BIN)/python -m pytest tests/api/test_fuzz.py
	cd tests && FUZZ_EXAMPLES=100 ../$(BIN)/python -m api.fuzz_over_http

siege: $(READY) ## the most expensive requests, floods, wrong bodies, broken protocol, slow clients, nginx: some minutes, writes tests/benchmarks/SIEGE.md
	PYTHONPATH=tests $(BIN)/python -m siege

faults: $(READY) ## restarts, kills, full disks, clocks, half-open connections under load, behind nginx: about 6 minutes, root; writes tests/benchmarks/FAULTS.md
	PYTHONPATH=tests $(BIN)/python -m faults $(if $(ONLY),--only "$(ONLY)")

soak: $(READY) ## MINUTES (30) at 70 % of its load through the client, memory watched; writes tests/benchmarks/SOAK.md every minute
	PYTHONPATH=tests $(BIN)/python -m soak --minutes $(or $(MINUTES),30)

digest: $(READY) ## replies of a commit (BASE, else HEAD) and of this folder to COUNT random requests (a SPOILT share with an error), compared
	rm -rf build/digest
	mkdir -p build/digest
	git archive $(or $(BASE),HEAD) service | tar -x -C build/digest
	cd tests && ../$(BIN)/python -m digest make $(or $(COUNT),2000) --seed $(or $(SEED),1) --spoilt $(or $(SPOILT),0) > ../build/digest/requests.ndjson
	cd tests && PYTHONPATH=../build/digest/service ../$(BIN)/python -m digest run ../build/digest/requests.ndjson ../build/digest/before.ndjson.gz
	cd tests && ../$(BIN)/python -m digest run ../build/digest/requests.ndjson ../build/digest/after.ndjson.gz
	cd tests && ../$(BIN)/python -m digest compare ../build/digest/before.ndjson.gz ../build/digest/after.ndjson.gz $(if $(RENAMED),--renamed $(abspath $(RENAMED)))

test-pages: $(READY) ## sheet and pictures in Chromium: axe, pages printed (not part of make test)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[pages]'
	PYTHONPATH=tests $(BIN)/python -m pages.check_pages

test-embed: $(READY) ## the element in Chromium, the workbook in LibreOffice; apt-get installs what is missing, 700 and 440 MB (not part of make test)
	@command -v "$${CHROMIUM:-chromium}" >/dev/null || { echo "No Chromium here: apt-get installs it (about 700 MB, needs root)."; apt-get update && apt-get install -y --no-install-recommends chromium fonts-dejavu-core; }
	@command -v soffice >/dev/null && $${UNO_PYTHON:-/usr/bin/python3} -c 'import uno' || { echo "No LibreOffice Calc with UNO here: apt-get installs it (about 440 MB, needs root)."; apt-get update && apt-get install -y --no-install-recommends libreoffice-calc python3-uno; }
	$(MAKE) --no-print-directory element && git diff --exit-code --stat -- client/web/kettlewright.min.js
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[embed]'
	$(BIN)/python -m pytest tests/embed

test-clients: $(READY) ## linters and generated clients (TypeScript, Python) of openapi.yaml, in build/clients; npm fetches 130 MB (not part of make test)
	@command -v node >/dev/null && command -v npm >/dev/null || { echo "No Node.js with npm here: apt-get installs them (about 150 MB, needs root)."; apt-get update && apt-get install -y --no-install-recommends nodejs npm; }
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[clients]'
	$(BIN)/python tests/clients/check_clients.py
element: ## build client/web/kettlewright.min.js from its modules (Node and npm; apt-get installs what is missing)
	@command -v npm >/dev/null || { echo "No npm here: apt-get installs it (needs root)."; apt-get update && apt-get install -y --no-install-recommends nodejs npm; }
	cd client/web && npm ci --silent --no-audit --no-fund && npm run --silent build

workbook: $(READY) ## write build/kettlewright.xlsx, whose cells ask the service on 127.0.0.1:8000
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt openpyxl
	$(BIN)/python client/examples/workbook/build_workbook.py

test-types: $(READY) ## scripts of a user in mypy and pyright (not part of make test; pyright fetches itself from the registry of Node.js)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[types]'
	$(BIN)/python -m pytest tests/client/test_typed_scripts.py tests/client/check_pyright.py

contract: $(READY) ## write openapi.yaml anew from the schemas, and the typed code of the client from it
	$(BIN)/python -m kettlewright.api.document.openapi > openapi.yaml
	PYTHONPATH=client $(BIN)/python -m generate

lock: $(READY) ## pin what the image holds, with hashes (docker/requirements*.txt), from constraints.txt and pyproject.toml
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[image]'
	$(LOCK) -c constraints.txt --output-file docker/requirements.txt pyproject.toml
	$(LOCK) --output-file docker/requirements-build.txt docker/requirements-build.in

sbom: ## list what the image holds: build/parts/sbom.cdx.json (CycloneDX), LICENCES.txt, licences.csv
	rm -rf build/environment build/tools build/parts
	sh docker/install.sh build/environment build/tools
	mv build/environment/parts build/parts
	rm -rf build/environment build/tools

test-image: $(READY) ## build the image from a base of our own, run it locked down, attack it: root, buildah, podman, runc, debootstrap; writes tests/benchmarks/IMAGE.md
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[image]'
	PYTHONPATH=tests $(BIN)/python -m image

texts: $(READY) ## bring the catalogues of translations in step with the texts of the code
	$(BIN)/python tests/catalogues.py

lint: $(READY) ## ruff: style, imports, likely bugs
	$(BIN)/ruff check service client tests

types: $(READY) ## mypy --strict over service and client
	$(BIN)/mypy

clean: ## remove the environment and the caches
	rm -rf $(VENV) .pytest_cache .mypy_cache .ruff_cache .hypothesis .schemathesis build
