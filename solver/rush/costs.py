"""What a change of the bar costs, where the house says so."""

from __future__ import annotations

from dataclasses import dataclass

from solver.errors import BadValue


@dataclass(frozen=True, slots=True, kw_only=True)
class Costs:
    """What things cost this house, in its own money; None where it does not say.

    Attributes
    ----------
    money : str
        The sign that stands before an amount.
    bartender_hour, barback_hour : float or None
        An hour of one more pair of hands.
    tin_set, blender, well : float or None
        Bought once.
    nights : int
        Over how many nights what is bought once is counted.
    batch : float or None
        The hands and bottles of one batch made before doors.
    """

    money: str = "£"
    bartender_hour: float | None = None
    barback_hour: float | None = None
    tin_set: float | None = None
    blender: float | None = None
    well: float | None = None
    nights: int = 150
    batch: float | None = None

    def __post_init__(self) -> None:
        told = (self.bartender_hour, self.barback_hour, self.tin_set, self.blender, self.well)
        if any(cost is not None and cost < 0 for cost in (*told, self.batch)):
            raise BadValue("costs of 0 or more", (*told, self.batch))
        if self.nights < 1:
            raise BadValue("one night or more to spread a purchase over", self.nights)

    def a_night(self, bought_once: float | None) -> float | None:
        """Give the share of one night in what is bought once."""
        return None if bought_once is None else bought_once / self.nights
