# The daily commands. `make run` and `make test` set up all they need.
.PHONY: help run show test fast lint bench prove fresh docs dev rules release requirements snapshots
.DEFAULT_GOAL := help

help:  ## these lines
	@awk -F ':.*## *' '/^[a-z ]+:.*##/ {printf "  make %-12s %s\n", $$1, $$2}' $(MAKEFILE_LIST)

run:  ## an invented yard, served at PORT (8080), with two who may sign in
	@scripts/run

show:  ## an invented yard, made afresh and printed
	@scripts/show

test:  ## set up and pass everything; what cannot be installed is skipped and named
	@scripts/test

fast:  ## floors 0 to 4 and the architecture, in seconds
	@scripts/setup test
	@.venv/bin/python -m pytest -q -m "not property and not prove" $(wildcard $(addprefix tests/,facts rules derive plan views published architecture))

lint:  ## format, lint, types, floors, rules, generated pages
	@scripts/setup test
	@scripts/lint

bench:  ## ratios against named baselines
	@scripts/setup test
	@scripts/bench

prove:  ## long proofs
	@scripts/setup test
	@scripts/prove

fresh:  ## `make run` and `make test` in a bare Debian
	@scripts/fresh

docs:  ## write the reference pages anew; at a terminal also serve docs/
	@scripts/setup test
	@.venv/bin/python scripts/generate_docs.py
	@if [ -t 1 ]; then .venv/bin/python scripts/serve_docs.py; fi

dev:  ## environment for those who change dipmark, with the hook that lints before a commit
	@scripts/setup test
	@git config core.hooksPath scripts/hooks
	@echo "Ready: .venv, and scripts/hooks before each commit."

snapshots:  ## accept what the commands print now as right; look at the difference
	@scripts/setup test
	@DIPMARK_SNAPSHOTS=accept .venv/bin/python -m pytest -q -p no:cacheprovider tests/faces/cli/test_snapshots.py
	@git --no-pager diff --stat tests/faces/cli/snapshots

rules:  ## lint the rules; print what changed since the last release
	@scripts/setup run
	@.venv/bin/dipmark rules lint
	@.venv/bin/python scripts/rules_changed.py

release:  ## make release VERSION=1.2.3: changelog and tag; publishing waits for a person
	@scripts/setup test
	@.venv/bin/python scripts/release.py "$(VERSION)"

requirements:  ## pin all dependencies anew
	@scripts/requirements
