"""Time standards: how long one step of the trade takes a person of pace 1.0, in seconds.

The table is a data file with a source on each row; this module knows which rows there must be
and what each means. The seconds of a build are computed from them in `work`; nobody types a
duration beside a recipe.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches

from .errors import BadValue
from .units import to_ds

ROWS: dict[str, str] = {
    "read_build": "reading a build from the screen, once",
    "read_drink": "reading one more drink of it",
    "reach_speed_rail": "reaching for and putting back a bottle of the speed rail",
    "reach_back_bar": "the same from the back bar",
    "reach_fridge": "the same from the fridge",
    "reach_other_station": "the same from another station",
    "reach_store": "a bottle fetched from the store by hand",
    "glass_first": "the first glass of a kind",
    "glass_more": "each further glass of that kind",
    "glass_back_shelf": "more for a glass from the back shelf, once a kind",
    "glass_freezer": "more for a chilled glass from the freezer, each",
    "chill_hands": "setting a glass to chill with ice and water",
    "chill_alone": "the glass chills by itself",
    "chill_dump": "emptying the chilled glass",
    "rim_first": "the first rim of a kind",
    "rim_more": "each further rim of that kind",
    "lining": "lining a glass with a long peel",
    "coat": "coating a glass with a little spirit",
    "measure_small": "one jigger load of up to 30 ml",
    "measure_large": "one jigger load of up to 60 ml",
    "measure_capped": "more for a bottle without a pourer, each load",
    "measure_thick": "one load of thick syrup",
    "free_pour": "a free pour of 50 ml",
    "dash": "one dash",
    "bar_spoon": "one bar spoon",
    "cube": "one sugar cube",
    "leaves": "the leaves of one drink",
    "pressed": "pressing half a citrus fruit",
    "egg_parted": "parting one egg",
    "egg_ready": "one egg white ready parted",
    "egg_whole": "cracking one whole egg",
    "egg_hands": "washing hands after cracking, once a build",
    "muddle_leaf": "muddling leaves, a vessel",
    "muddle_fruit": "muddling fruit, a vessel",
    "muddle_cube": "muddling a sugar cube with bitters, a vessel",
    "scoop": "one scoop of ice",
    "scoop_crushed": "one scoop of crushed ice with its cap",
    "ice_block": "one block with tongs",
    "shared_well_trip": "a trip to ice that is not at the station, once a build",
    "close_tin": "closing a tin set",
    "open_tin": "opening a tin set",
    "shake": "a plain shake",
    "shake_long": "a long shake",
    "dry_shake": "a shake without ice",
    "dry_open_ice": "opening after the dry shake and icing",
    "stir_cubed": "stirring on cubed ice",
    "stir_cracked": "stirring on cracked ice",
    "stir_crushed": "stirring on fine ice",
    "swizzle": "swizzling one glass",
    "throw": "throwing between tins",
    "strain": "straining one glass",
    "strain_double": "double straining one glass",
    "strain_foam": "straining one glass of foam",
    "split_tin": "more for each glass where a tin is split",
    "top_gun": "a top from the gun",
    "top_bottle": "a top from a bottle",
    "top_sparkling": "a top of sparkling wine",
    "float": "a float",
    "garnish_setup": "taking up a garnish, once a build and kind",
    "garnish_tray": "a garnish from the tray",
    "garnish_pick": "an olive or cherry on a pick",
    "garnish_pre_cut": "a pre-cut peel",
    "garnish_cut": "a peel cut and expressed",
    "garnish_flamed": "a flamed peel",
    "garnish_herb": "a sprig of herb",
    "garnish_grated": "grating on top",
    "garnish_drops": "drops on foam",
    "garnish_straw": "straw and napkin",
    "rinse": "dumping and rinsing one vessel",
    "rinse_jar": "rinsing a blender jar",
    "clean_spare": "taking a clean spare, a vessel",
    "washer_load": "loading the washer",
    "washer_run": "the washer's run",
    "draught_pint": "a pint from the tap",
    "draught_half": "a half from the tap",
    "draught_second_tap": "a second glass under the tap beside it",
    "bottle_open": "a bottle opened and handed over",
    "stout_pour": "the first pour of a stout",
    "stout_settle": "the stout settles",
    "stout_window": "the latest a stout may be topped after its first pour",
    "stout_top": "topping a stout",
    "wine_glass": "one glass of wine",
    "coffee_hands": "grinding, tamping and starting a coffee",
    "coffee_draw": "the coffee draws",
    "coffee_finish": "finishing a coffee",
    "blend_start": "filling ice and starting the blender",
    "blend_alone": "the blender runs",
    "blend_pour": "pouring one glass from the jar",
    "mugs_warm_hands": "setting a pair of mugs to warm",
    "mugs_warm_alone": "the mugs warm by themselves",
    "flame_clear": "clearing the place before anything is lit; bottle capped and away",
    "flame_measure": "measuring what burns",
    "flame_light": "lighting",
    "flame_throw": "throwing alight between the mugs",
    "flame_snuff": "snuffing with the lid",
    "flame_pour": "pouring from the side, and the peel",
    "walk_pass": "a drink carried to the pass from a station away from it",
    "serve_bar_top": "handing a round over and taking the money, with the till",
}
"""Every row a table must have, and its meaning."""

LONGEST_S = 900.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Standard:
    """One row: its seconds at pace 1.0 and where they come from."""

    seconds: float
    source: str

    def __post_init__(self) -> None:
        if not 0 <= self.seconds <= LONGEST_S:
            raise BadValue(f"seconds from 0 to {LONGEST_S:g}", self.seconds)
        if not self.source.strip():
            raise BadValue("a source, such as 'common practice'", self.source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standards:
    """The whole table.

    Attributes
    ----------
    rows : mapping of str to Standard
        Exactly the names of `ROWS`.
    """

    rows: Mapping[str, Standard]
    ds: Mapping[str, int] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        for name in self.rows:
            if name not in ROWS:
                near = get_close_matches(name, ROWS, n=1)
                raise BadValue(
                    "a known time standard", name, f"did you mean {near[0]}" if near else ""
                )
        missing = [name for name in ROWS if name not in self.rows]
        if missing:
            raise BadValue("every time standard", f"none for {', '.join(missing)}")
        for first, more in (("glass_first", "glass_more"), ("rim_first", "rim_more")):
            if self.rows[first].seconds < self.rows[more].seconds:
                raise BadValue(f"{first} to be no less than {more}", self.rows[first].seconds)
        object.__setattr__(
            self, "ds", {name: to_ds(row.seconds) for name, row in self.rows.items()}
        )

    def __getitem__(self, name: str) -> int:
        """Give the row's time at pace 1.0 in deciseconds."""
        return self.ds[name]
