"""One folder per question; pure functions from build sections and other studies' results to a result and findings.

A study is found by being here: a folder whose `__init__` defines `STUDY`. Nothing else needs an edit. See
docs/adding-a-study.md.
"""
