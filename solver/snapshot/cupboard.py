"""What is short, given out drink by drink in the order of the tickets."""

from __future__ import annotations

from solver.menu import Menu, Method, Mix
from solver.tickets import chilled_by_ice
from solver.units import to_ds

from .facts import Snapshot


class Cupboard:
    """What is short, given out drink by drink. Mutable, and lives for one call of `rail_of`."""

    def __init__(self, snapshot: Snapshot) -> None:
        self._menu: Menu = snapshot.menu
        self._glasses = snapshot.counter.by_glass
        self._clean = {glass.id: glass.clean for glass in snapshot.counter.glasses}
        self._chilled = {glass.id: glass.chilled for glass in snapshot.counter.glasses}
        self._back: dict[str, list[int]] = {}
        for back in sorted(snapshot.glasses_back, key=lambda row: row.back_s):
            times = self._back.setdefault(back.glass, [])
            times.extend([max(0, to_ds(back.back_s))] * back.count)
        self._left = {s.ingredient: s.left for s in snapshot.short if s.left is not None}
        self._fetched = {
            s.ingredient: max(0, to_ds(s.back_s)) for s in snapshot.short if s.back_s is not None
        }

    def why_short(self, mix: Mix) -> str:
        """Say what is missing for one more drink of a mix; empty when nothing is."""
        for name in mix.ingredients:
            left = self._left.get(name)
            if left is not None and left < 1 and name not in self._fetched:
                return f"{self._menu.ingredient(name).name} is 86"
        if not self._has_glass(mix.glass):
            return f"there is no clean {self._glasses[mix.glass].name} left"
        return ""

    def release_ds(self, mix: Mix) -> int:
        """When the bottle and the glass for one more drink are here, from the moment."""
        times = [
            self._fetched[n]
            for n in mix.ingredients
            if n in self._fetched and not self._left.get(n)
        ]
        if not self._clean[mix.glass] and not self._chilled[mix.glass]:
            times.append(self._back[mix.glass][0])
        return max(times, default=0)

    def take(self, mix: Mix) -> Mix:
        """Give one drink what it needs; its mix comes back chilled by ice where no glass was."""
        for name in mix.ingredients:
            if self._left.get(name):
                self._left[name] -= 1
        chilled = self._chilled.get(mix.glass, 0)
        clean = self._clean.get(mix.glass, 0)
        if chilled and (mix.chilled or not clean):
            self._chilled[mix.glass] -= 1
            return mix
        if clean:
            self._clean[mix.glass] -= 1
        elif self._back.get(mix.glass):
            self._back[mix.glass].pop(0)
        by_ice = mix.chilled and mix.method is not Method.DRAUGHT
        return chilled_by_ice(self._menu, mix) if by_ice else mix

    def _has_glass(self, glass: str) -> bool:
        return bool(self._clean[glass] or self._chilled[glass] or self._back.get(glass))
