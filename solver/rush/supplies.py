"""Glasses, ice and bottles: what is used, what runs out, and how it comes back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import simpy

from solver.counter import Counter, Well
from solver.menu import Ice, Method, Mix

from .night import GlassLog, UsedLog, WellLog
from .scenario import Supplies
from .troubles import SHARED


def after(env: simpy.Environment, delay_ms: int, do: Callable[[], None]) -> None:
    """Have something happen a little later."""
    env.timeout(max(0, delay_ms)).callbacks.append(lambda _: do())


def to_ms(seconds: float) -> int:
    """Give seconds in whole milliseconds."""
    return round(seconds * 1000)


@dataclass(slots=True, kw_only=True)
class _GlassNow:
    stock: int
    keep_chilled: int
    clean: int
    chilled: int
    used: int = 0
    in_use: int = 0
    most_in_use: int = 0
    none_since_ms: int | None = None
    none_ms: int = 0


class Glasses:
    """Every kind of glass: clean, chilled, with guests, in the washer, in the freezer.

    Parameters
    ----------
    env : simpy.Environment
    counter : Counter
    supplies : Supplies
    changed : callable
        Called when glasses are there again.
    """

    def __init__(
        self,
        env: simpy.Environment,
        counter: Counter,
        supplies: Supplies,
        changed: Callable[[], None],
    ) -> None:
        self._env = env
        self._supplies = supplies
        self._changed = changed
        self._glasses = {
            glass.id: _GlassNow(
                stock=glass.clean + glass.chilled,
                keep_chilled=glass.chilled,
                clean=glass.clean,
                chilled=glass.chilled,
            )
            for glass in counter.glasses
        }
        self.washing: list[tuple[int, str]] = []
        self.version = 0

    def num_ready(self, glass: str) -> int:
        """How many can be taken now."""
        one = self._glasses[glass]
        return one.clean + one.chilled

    def as_taken(self, mixes: Sequence[Mix]) -> list[Mix]:
        """Give mixes as they will be if glasses are taken for them now, in this order.

        As a rail does: where no chilled glass is left, one is chilled with ice and water.
        """
        left = {
            mix.glass: (self._glasses[mix.glass].clean, self._glasses[mix.glass].chilled)
            for mix in mixes
        }
        found = []
        for mix in mixes:
            clean, chilled = left[mix.glass]
            is_chilled = _takes_chilled(mix, clean, chilled)
            left[mix.glass] = (clean - (not is_chilled), chilled - is_chilled)
            by_ice = mix.chilled and not is_chilled and mix.method is not Method.DRAUGHT
            found.append(replace(mix, chill_by_ice=True) if by_ice else mix)
        return found

    def take(self, mix: Mix) -> None:
        """Take a glass for a drink."""
        one = self._glasses[mix.glass]
        if _takes_chilled(mix, one.clean, one.chilled):
            one.chilled -= 1
        else:
            one.clean -= 1
        one.used += 1
        one.in_use += 1
        one.most_in_use = max(one.most_in_use, one.in_use)
        self._note_none(one)

    def leave(self, glass: str, back_ms: int) -> None:
        """Let a glass go with its guest; at the washer after `back_ms`."""
        after(self._env, back_ms, lambda: self._wash(glass))

    def _wash(self, glass: str) -> None:
        wash_ms = to_ms(self._supplies.glass_wash_s)
        self.washing.append((int(self._env.now) + wash_ms, glass))
        self.version += 1
        after(self._env, wash_ms, lambda: self._clean(glass))

    def _clean(self, glass: str) -> None:
        self.washing.remove((int(self._env.now), glass))
        one = self._glasses[glass]
        one.in_use -= 1
        one.clean += 1
        self._note_none(one)
        if one.chilled < one.keep_chilled:
            after(self._env, to_ms(self._supplies.chill_s), lambda: self._chill(one))
        self._changed()

    def _chill(self, one: _GlassNow) -> None:
        if one.clean and one.chilled < one.keep_chilled:
            one.clean -= 1
            one.chilled += 1
            self.version += 1

    def _note_none(self, one: _GlassNow) -> None:
        self.version += 1
        now, is_none = int(self._env.now), one.clean + one.chilled == 0
        if is_none and one.none_since_ms is None:
            one.none_since_ms = now
        elif not is_none and one.none_since_ms is not None:
            one.none_ms += now - one.none_since_ms
            one.none_since_ms = None

    def on_counter(self, counter: Counter) -> Counter:
        """Give the counter with the glasses that are clean and chilled now."""
        return replace(
            counter,
            glasses=tuple(
                replace(
                    glass,
                    clean=self._glasses[glass.id].clean,
                    chilled=self._glasses[glass.id].chilled,
                )
                for glass in counter.glasses
            ),
        )

    def logs(self) -> tuple[GlassLog, ...]:
        """Give the log of each kind."""
        now = int(self._env.now)
        return tuple(
            GlassLog(
                glass=name,
                stock=one.stock,
                used=one.used,
                most_in_use=one.most_in_use,
                none_clean_s=(one.none_ms + (now - (one.none_since_ms or now))) / 1000,
            )
            for name, one in self._glasses.items()
        )


def _takes_chilled(mix: Mix, clean: int, chilled: int) -> bool:
    """Whether a drink takes a chilled glass: because it wants one, or because no other is left."""
    return chilled > 0 and (mix.chilled or clean < 1)


@dataclass(slots=True, kw_only=True)
class WellNow:
    """One well: what it holds and how much of it is there."""

    name: str
    capacity_kg: float
    kg: float
    used_kg: float = 0.0
    is_called_for: bool = False
    is_out: bool = False
    refilled_ms: list[int]
    empty_since_ms: int | None = None
    empty_ms: int = 0


class Wells:
    """Ice by the kilogram.

    Parameters
    ----------
    env : simpy.Environment
    counter : Counter
    supplies : Supplies
    """

    def __init__(self, env: simpy.Environment, counter: Counter, supplies: Supplies) -> None:
        self._env = env
        self._supplies = supplies
        rows = [(s.id, well) for s in counter.stations for well in s.wells]
        rows += [(SHARED, well) for well in counter.shared_wells]
        full = supplies.wells_full_pct / 100
        self.by_name = {well_name(at, well.ice): _new_well(at, well, full) for at, well in rows}

    def needed(self, names: list[tuple[str, Ice]]) -> dict[str, float]:
        """Give the kilograms that drinks take of each well."""
        found: dict[str, float] = {}
        for name, ice in names:
            kg = self._supplies.ice_kg.get(ice, 0.0)
            found[name] = found.get(name, 0.0) + kg
        return found

    def short(self, needed: dict[str, float]) -> str:
        """Give the name of a well that has too little; empty where none has."""
        for name, kg in needed.items():
            well = self.by_name[name]
            if well.kg < min(kg, well.capacity_kg):
                if well.empty_since_ms is None:
                    well.empty_since_ms = int(self._env.now)
                return name
        return ""

    def take(self, needed: dict[str, float]) -> list[str]:
        """Take ice; gives the wells that want filling now and that nobody was called for yet."""
        wanted = []
        for name, kg in needed.items():
            well = self.by_name[name]
            well.kg = max(0.0, well.kg - kg)
            well.used_kg += kg
            below = well.capacity_kg * self._supplies.refill_below_pct / 100
            if well.kg < below and not well.is_called_for and not well.is_out:
                well.is_called_for = True
                wanted.append(name)
        return wanted

    def call_for(self, name: str) -> bool:
        """Note that a well wants filling; False where somebody was called already."""
        well = self.by_name[name]
        is_new = not well.is_called_for and not well.is_out
        well.is_called_for = True
        return is_new

    def fill(self, name: str) -> None:
        """Fill a well."""
        well, now = self.by_name[name], int(self._env.now)
        well.kg = well.capacity_kg
        well.is_called_for = well.is_out = False
        well.refilled_ms.append(now)
        if well.empty_since_ms is not None:
            well.empty_ms += now - well.empty_since_ms
            well.empty_since_ms = None

    def logs(self) -> tuple[WellLog, ...]:
        """Give the log of each well."""
        now = int(self._env.now)
        return tuple(
            WellLog(
                name=well.name,
                used_kg=round(well.used_kg, 3),
                refilled_at_s=tuple(ms / 1000 for ms in well.refilled_ms),
                empty_s=(well.empty_ms + (now - (well.empty_since_ms or now))) / 1000,
            )
            for well in self.by_name.values()
        )


def well_name(station: str, ice: Ice) -> str:
    """Name a well by its station, or ``shared``, and its ice."""
    return f"{station}/{ice.value}"


def _new_well(at: str, well: Well, full: float) -> WellNow:
    return WellNow(
        name=well_name(at, well.ice),
        capacity_kg=well.capacity_kg,
        kg=well.capacity_kg * full,
        refilled_ms=[],
    )


@dataclass(slots=True, kw_only=True)
class _Bottle:
    left_ml: float | None
    ml: float = 0.0
    pieces: float = 0.0
    drinks: int = 0
    is_out: bool = False
    out_since_ms: int = 0
    back_ms: int | None = None
    out_ms: int = 0


class Shelf:
    """Every ingredient: what was poured of it, and what is out.

    Parameters
    ----------
    env : simpy.Environment
    ingredients : sequence of str
    prepared_ml : mapping of str to float
        As in `Supplies`.
    """

    def __init__(
        self, env: simpy.Environment, ingredients: list[str], prepared_ml: dict[str, float]
    ) -> None:
        self._env = env
        self._bottles = {name: _Bottle(left_ml=prepared_ml.get(name)) for name in ingredients}
        self.out: dict[str, int | None] = {}
        """What is out, and when it is here again; None for an 86."""

    def is_out(self, mix: Mix) -> str:
        """Give the first ingredient of a mix that is out; empty where none is."""
        if not self.out:
            return ""
        return next((name for name in mix.ingredients if name in self.out), "")

    def pour(self, amounts: list[tuple[str, float, float]]) -> list[str]:
        """Pour one drink; gives what has run out with it."""
        ended = []
        for name, ml, pieces in amounts:
            # A garnish may be no ingredient of the menu.
            bottle = self._bottles.setdefault(name, _Bottle(left_ml=None))
            bottle.ml += ml
            bottle.pieces += pieces
            if bottle.left_ml is not None:
                bottle.left_ml -= pieces or ml
                if bottle.left_ml <= 0 and not bottle.is_out:
                    ended.append(name)
        for name in dict.fromkeys(name for name, _, _ in amounts):
            self._bottles[name].drinks += 1
        return ended

    def run_out(self, name: str, back_ms: int | None) -> None:
        """Note that an ingredient is out, and when it is here again."""
        bottle = self._bottles[name]
        if not bottle.is_out:
            bottle.is_out, bottle.out_since_ms = True, int(self._env.now)
        bottle.back_ms = back_ms
        self.out[name] = back_ms

    def bring(self, name: str) -> None:
        """Note that an ingredient is here again, as much as is wanted."""
        bottle = self._bottles[name]
        bottle.out_ms += int(self._env.now) - bottle.out_since_ms
        bottle.is_out, bottle.left_ml, bottle.back_ms = False, None, None
        self.out.pop(name, None)

    def out_since_ms(self, name: str) -> int:
        """Since when an ingredient is out."""
        return self._bottles[name].out_since_ms

    def logs(self) -> tuple[UsedLog, ...]:
        """Give the log of each ingredient that was poured or out."""
        now = int(self._env.now)
        return tuple(
            UsedLog(
                ingredient=name,
                ml=round(one.ml, 3),
                pieces=round(one.pieces, 3),
                drinks=one.drinks,
                out_s=(one.out_ms + (now - one.out_since_ms if one.is_out else 0)) / 1000,
            )
            for name, one in self._bottles.items()
            if one.drinks or one.out_ms or one.is_out
        )
