"""Ice of a drink against the trade's figure."""

from __future__ import annotations

import pytest

from solver.menu import Ice, ice_kg
from solver.tickets import mix_of
from tests.solver.makers import line, menu


@pytest.mark.parametrize(("recipe", "kg"), [("lit", 0.35), ("frozen", 0.25), ("tall", 0.2)])
def test_what_it_takes(recipe: str, kg: float) -> None:
    assert sum(ice_kg(mix_of(menu(), line(recipe))).values()) == pytest.approx(kg)


def test_a_shaken_drink_on_ice_is_a_cocktails_worth() -> None:
    """Source: common practice, 0.4 to 0.5 kg a cocktail."""
    mix = mix_of(menu(), line("sour", changes=()))
    taken = ice_kg(mix)
    assert taken == {Ice.CUBED: 0.25}
    assert 0.4 <= taken[Ice.CUBED] + ice_kg(mix_of(menu(), line("tall")))[Ice.CUBED] <= 0.5


def test_what_is_poured_takes_none() -> None:
    assert ice_kg(mix_of(menu(), line("wine"))) == {}
