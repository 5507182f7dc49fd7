"""One module per section of the build file.

Dropping a module with a `TABLE` section class into this folder adds that table to the build file: nothing else
needs an edit. See `coachwork.build.tables`.
"""
