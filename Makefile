# make demo   the house on its Friday, live on this machine; Ctrl-C stops it
# make test   all tests                    make lint    style         make types   mypy
# make check  lint, types and tests        make cover   tests with branch coverage
# make clean  away with everything that was installed or built here
#
# Each is enough by itself in a fresh clone. Needed: make, Python 3.11, 3.12 or 3.13 with its `venv`
# module, and a connection for the first installation. ARGS="..." goes on to the command.

.DEFAULT_GOAL := help
SHELL := /bin/sh
PYTHON := python3
ARGS :=

# uv looks for a fitting Python on PATH and never fetches one; PYTHON=python3.12 names it.
export UV_PYTHON_DOWNLOADS := never
export UV_PYTHON_PREFERENCE := system
export UV_PROJECT_ENVIRONMENT := .venv
ifeq ($(origin PYTHON),command line)
export UV_PYTHON := $(PYTHON)
endif
# Where the system keeps certificates, its word on whom to trust counts (a company's own, say).
ifneq ($(wildcard /etc/ssl/certs/ca-certificates.crt /etc/pki/tls/certs/ca-bundle.crt /etc/ssl/cert.pem),)
export UV_SYSTEM_CERTS := true
endif
# Another environment that happens to be active has no say here.
unexport VIRTUAL_ENV

# uv from PATH, or else our own in .uv.
UV := $(or $(shell command -v uv 2>/dev/null),.uv/bin/uv)
BIN := .venv/bin
# The first installation shows what it does, later ones are silent: there is mostly nothing to do.
SYNC = $(UV) sync --locked $(if $(wildcard .venv/pyvenv.cfg),--quiet)

.PHONY: help demo test lint types check cover clean runtime dev

help:
	@sed -n 's/^# \{0,1\}//p;/^$$/q' Makefile

# Ctrl-C is the usual end: the shell lives through it, and 130 (ended by Ctrl-C) is no error.
demo: runtime
	@trap : INT; $(BIN)/threedeep demo $(ARGS); status=$$?; [ $$status -eq 130 ] || exit $$status

test: dev
	@$(BIN)/python -m pytest $(ARGS)

cover: dev
	@$(BIN)/python -m pytest --cov --cov-report=term $(ARGS)

lint: dev
	@$(BIN)/ruff check .
	@$(BIN)/ruff format --check .

types: dev
	@$(BIN)/mypy

check:
	@$(MAKE) --no-print-directory lint
	@$(MAKE) --no-print-directory types
	@$(MAKE) --no-print-directory test

clean:
	rm -rf .venv .uv dist build .mypy_cache .pytest_cache .ruff_cache .hypothesis .schemathesis
	rm -rf .coverage htmlcov
	find service solver tests loadtest -name __pycache__ -prune -exec rm -rf {} + 2>/dev/null || true

# --inexact: tools for development that are there already stay.
runtime: $(UV)
	@$(SYNC) --no-dev --inexact

dev: $(UV)
	@$(SYNC)

.uv/bin/uv:
	@echo "Installing uv into .uv (it is not on PATH)"
	@$(PYTHON) -m venv .uv || { rm -rf .uv; echo "'$(PYTHON) -m venv' failed: install Python 3.11, 3.12 or 3.13 with its venv module" \
	  "(Debian and Ubuntu: apt install python3-venv), or put uv on PATH." >&2; exit 1; }
	@.uv/bin/pip install -qq --disable-pip-version-check 'uv>=0.6,<1' || { rm -rf .uv; exit 1; }
