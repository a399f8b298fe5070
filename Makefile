# make site      build the site into site/
# make test      linters, types and all tests
# make serve     preview, built again after every save
# make rehearse  simulated calls: likely causes and figures for the pages (some minutes)
# make bench     how fast and how easy to use the pages are, measured (some minutes, best as root)
# make fuzz      the loader on inputs that a fuzzer makes (five minutes)
# make mutants   thousands of defects seeded into proven trees: which are caught (half an hour)
# make accept    take the output of now for golden files and rule pages
# make clean     remove what was built

.PHONY: site test serve rehearse bench mutants fuzz accept clean help
.DEFAULT_GOAL := site

# The virtual environment is brought up to date when what it must hold has changed.
SUM  := $(shell cat pyproject.toml generator/constraints.txt | cksum | cut -d ' ' -f 1)
USER_STAMP := .venv/made-for-site-$(SUM)
DEV_STAMP  := .venv/made-for-tests-$(SUM)
BIN  := .venv/bin

# The date on the pages is that of the last commit; without one, of today.
SOURCE_DATE_EPOCH ?= $(shell git log -1 --format=%ct 2>/dev/null || date +%s)
export SOURCE_DATE_EPOCH
export NO_MKDOCS_2_WARNING := 1

define FIND_PYTHON
for each in python3 python3.14 python3.13 python3.12 python3.11 python; do \
  if $$each -c 'import sys, venv, ensurepip; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; \
  then found=$$each; break; fi; \
done; \
if [ -z "$$found" ]; then \
  echo 'Python 3.11 or later with its venv module is needed, and none was found on the PATH.' >&2; \
  echo 'On Debian and Ubuntu: apt-get install python3 python3-venv' >&2; \
  exit 1; \
fi
endef

define MAKE_VENV
@rm -f .venv/made-for-*
@$(FIND_PYTHON); if [ ! -x $(BIN)/python ]; then $$found -m venv --clear .venv; fi
endef

site: $(USER_STAMP)
	@$(BIN)/stepstop build
	@echo
	@echo 'The site is in $(CURDIR)/site'
	@echo 'Open $(CURDIR)/site/index.html in a browser; no server is needed.'

serve: $(USER_STAMP)
	$(BIN)/mkdocs serve

test: $(DEV_STAMP) chromium ngspice
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy
	$(BIN)/pytest -n 2

rehearse: $(USER_STAMP)
	$(BIN)/stepstop rehearse --write

# What it can't measure here it says, and ends with an error.
bench: $(DEV_STAMP) chromium
	@PYTHONPATH=tests $(BIN)/python -m bench --json bench.json

# Half an hour on two processors.
mutants: $(DEV_STAMP)
	@PYTHONPATH=tests $(BIN)/python -m mutants --json mutants.json

# SECONDS=N for another time; the fuzzer is for Linux.
fuzz: $(DEV_STAMP)
	@$(BIN)/python -m pip install --quiet -c generator/constraints.txt -e '.[fuzz]'
	@PYTHONPATH=tests $(BIN)/python -m fuzz --seconds $(or $(SECONDS),300)

accept: $(DEV_STAMP) chromium
	STEPSTOP_ACCEPT=1 $(BIN)/pytest tests/golden tests/rules tests/project/test_keys_page.py tests/browser/test_read_aloud.py
	@git --no-pager diff --stat -- tests/golden content/rules content/keys.md content/catalogue.md 2>/dev/null || true

clean:
	rm -rf site .site.stepstop-* dist build .pytest_cache .mypy_cache .ruff_cache .hypothesis
	find generator tests -name __pycache__ -type d -prune -exec rm -rf {} +

help:
	@sed -n '/^# make/s/^# //p' Makefile

$(USER_STAMP):
	$(if $(wildcard $(DEV_STAMP)),,$(MAKE_VENV))
	@if [ -e $(DEV_STAMP) ]; then :; \
	else $(BIN)/python -m pip install --quiet -c generator/constraints.txt -e '.[site]'; fi
	@touch $@

$(DEV_STAMP):
	$(MAKE_VENV)
	@$(BIN)/python -m pip install --quiet -c generator/constraints.txt -e '.[site,dev]'
	@touch $@

# What the tests need beyond Python packages. What is there is used; else Debian's is installed.
# $(call FROM_DEBIAN,package,commands any of which will do,what needs it)
define FROM_DEBIAN
@for each in $(2); do if command -v $$each >/dev/null; then exit 0; fi; done; \
if command -v apt-get >/dev/null; then \
  root=; [ "$$(id -u)" = 0 ] || root=sudo; \
  $$root apt-get update -qq && $$root apt-get install -y -qq --no-install-recommends $(1); \
else \
  echo '$(3) needs $(1), and there is no apt-get here to install it.' >&2; \
  echo 'Install it so that `$(1)` is on the PATH, then run make again.' >&2; \
  exit 1; \
fi
endef

.PHONY: chromium ngspice
chromium:
	$(call FROM_DEBIAN,chromium,chromium chromium-browser google-chrome,What uses a browser)

ngspice:
	$(call FROM_DEBIAN,ngspice,ngspice,The circuit test)
