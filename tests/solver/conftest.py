"""What the solver's tests share: how long hypothesis may search, and that it repeats itself."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

# No deadline for one example: a first call may compile or fill a cache. Derandomised, so that a
# run that failed fails again, and a run that passed says the same tomorrow.
settings.register_profile(
    "solver",
    deadline=None,
    derandomize=True,
    max_examples=60,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("solver")
