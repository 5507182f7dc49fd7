"""The workbench: one build in a page of the browser, every number live.

`session` holds a build open and knows nothing of pages; `server` shows a session to one browser on this machine.
"""
