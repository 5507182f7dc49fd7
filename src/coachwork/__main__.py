"""`python -m coachwork` is the same as `coachwork`."""

import sys

from coachwork.cli import main

sys.exit(main())
