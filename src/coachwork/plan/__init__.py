"""Which study needs what; runs them, reuses answers, cancels. `Plan().run(build)` answers every question."""

from coachwork.plan.discovery import Wiring, discover, wire
from coachwork.plan.run import Answer, Cancelled, Plan, Progress
from coachwork.plan.views import Plain, Recorder, Sampled

__all__ = ["Answer", "Cancelled", "Plain", "Plan", "Progress", "Recorder", "Sampled", "Wiring", "discover", "wire"]
