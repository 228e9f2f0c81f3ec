# Between Plates. Each target first sets up what it needs, on a machine that has no more than Python 3.11 or later, make
# and its own package manager. README.md says the same in plain pip lines.

PYTHON ?= $(shell for p in python3 python3.14 python3.13 python3.12 python3.11; do \
	$$p -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null && echo $$p && break; done)
WORKERS ?= 2
BIN := .venv/bin
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt

# $(call debian,program,package): when root on Debian or a child of it, install the package; otherwise say how.
debian = if [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null; then \
	apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $(2) >/dev/null; \
	else echo "Between Plates: $(1) is missing; install it with your package manager (Debian: apt install $(2))." >&2; false; fi

.PHONY: site test check aria bench fuzz engines clean java browser pdf

site: .venv/site
	$(BIN)/python -m builder build

# The site in one file, the same bytes from the same models.
zip: site
	$(BIN)/python -m builder zip

# What a host sends with the pages: of the site built here, or of one that stands at ADDRESS=https://…
headers: $(if $(ADDRESS),.venv/site,site)
	$(BIN)/python tests/hosting/headers.py $(ADDRESS)

test: .venv/test java browser pdf
	$(BIN)/python -m pytest -n $(WORKERS) --dist worksteal $(ARGS)

# What pages are to a screen reader, written anew where they were changed on purpose; git shows what differs.
aria: .venv/test
	BETWEEN_PLATES_ARIA=write $(BIN)/python -m pytest -q tests/browser/test_aria.py

# Ratios of one run, side by side: no timing is a test.
bench: .venv/test
	$(BIN)/python -m tests.bench $(ARGS)

# Movements, texts and notes by chance, for so many minutes (what fails is kept in .fuzz with the number that leads to it), then
# guided by coverage for half as long, then two hundred builds killed.
MINUTES ?= 10
fuzz: .venv/test
	$(BIN)/python tests/fuzz/long.py --minutes $(MINUTES) --workers $(WORKERS) $(ARGS)
	@$(PIP) --editable '.[guided]' || echo "Between Plates: atheris cannot be installed for this Python; long.py has looked alone."
	for part in reader notes; do $(BIN)/python tests/fuzz/guided.py $$part $$(( $(MINUTES) * 15 )) .fuzz || exit 1; done
	folder=$$(mktemp -d) && $(BIN)/python tests/kill_whole_builds.py 200 $$folder && rm -r $$folder

# Which lines no test runs: the browser's tests left out, which run the same lines once more.
coverage: .venv/test
	$(BIN)/python -m pytest -q -n $(WORKERS) --dist worksteal --ignore=tests/browser --ignore=tests/test_html.py \
		--cov=builder --cov-report=term-missing:skip-covered $(ARGS)

# Motion and player in Firefox and, where there is a driver for it, in WebKit.
engines: .venv/test
	$(PIP) --editable '.[engines]'
	@command -v firefox-esr >/dev/null || command -v firefox >/dev/null || { $(call debian,Firefox,firefox-esr); }
	@command -v WebKitWebDriver >/dev/null || { $(call debian,WebKit's driver,webkit2gtk-driver xvfb); } || true
	NEEDED=firefox $(BIN)/python -m pytest -s tests/engines/smoke.py $(ARGS)

check: .venv/test site
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/bandit --quiet --configfile pyproject.toml --recursive builder
	$(BIN)/python -c 'import sys; from pathlib import Path; from builder.linkcheck import check_folder; sys.exit("\n".join(check_folder(Path("site"))) or 0)'

clean:
	@test ! -e builder/publish.py || $(PYTHON) -c 'from pathlib import Path; from builder.publish import clean; clean(Path("site"))'
	rm -rf .between-plates-store .pytest_cache .ruff_cache .mypy_cache .hypothesis
	find builder tests -name __pycache__ -type d -prune -exec rm -rf {} +

# One environment, in two sizes: what building a site needs, and what testing and checking need on top.
.venv/site: pyproject.toml constraints.txt
	@test -n "$(PYTHON)" || { echo "Between Plates: Python 3.11 or later is missing." >&2; false; }
	@$(PYTHON) -c 'import ensurepip, venv' 2>/dev/null || { $(call debian,the venv module of Python,python3-venv); }
	@test -x $(BIN)/pip || $(PYTHON) -m venv .venv
	$(PIP) --editable .
	@touch $@

# The schemas that a package for learning platforms is held to are read out of a package that carries them, which is not
# installed: their terms do not say that we may pass them on.
.venv/test: .venv/site
	$(PIP) --editable '.[test,check,pictures]'
	$(BIN)/python -m pip download --quiet --disable-pip-version-check --no-deps --dest .venv/schemas plct-bulder-for-sphinx==0.0.5
	@touch $@

# The Nu HTML checker is a Java program. Without Java its tests are skipped, except where CI is set: there they fail.
java:
	@java -version >/dev/null 2>&1 || { $(call debian,Java,default-jre-headless); } || test -z "$$CI"

# Printed pages are read by poppler and qpdf, which are not ours; the same holds for their tests,
pdf:
	@pdfinfo -v >/dev/null 2>&1 || { $(call debian,pdfinfo,poppler-utils); } || test -z "$$CI"
	@qpdf --version >/dev/null 2>&1 || { $(call debian,qpdf,qpdf); } || test -z "$$CI"

# and for the browser tests.
browser: .venv/test
	@$(BIN)/python tests/browser/find_browser.py --install || test -z "$$CI"
