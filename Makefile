# make demo   the example builds, checked and drawn
# make test   every check and test there is; a reference check that is skipped counts as failed
# make clean  forget what the two above made

.PHONY: demo test clean

demo: .venv/installed
	.venv/bin/coachwork demo demo
	@echo 'coachwork itself is .venv/bin/coachwork; . .venv/bin/activate makes it coachwork.'

test: .venv/installed-for-tests
	scripts/check
	scripts/test

clean:
	rm -rf .venv demo

# One environment, two ways to be in it: as a user installs, or editable with what the tests need.
.venv/installed: pyproject.toml $(shell find src examples -type f -not -name '*.pyc')
	scripts/install .
	rm -f .venv/installed-for-tests
	touch $@

.venv/installed-for-tests: pyproject.toml
	scripts/install --editable '.[test]'
	rm -f .venv/installed
	touch $@
