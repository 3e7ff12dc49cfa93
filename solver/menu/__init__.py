"""What can be ordered: ingredients, recipes, and the mix that is really in a drink.

A `Recipe` is what the menu says; a `Mix` is the recipe after a guest's changes. Everything
downstream (seconds, vessels, sharing, cautions) reads the mix and never the recipe.

Reading order: `words`, `recipes`, `mixes`, `ice`.
"""

from .ice import ice_kg
from .mixes import Mix, recipe_mix, spirit_mixer_mix
from .recipes import Change, Garnish, Ingredient, Menu, Pour, Recipe, SpiritAndMixer, Swap
from .words import GarnishWork, Ice, Kind, Method, Place, Pouring, Stage, Strain

__all__ = [
    "Change",
    "Garnish",
    "GarnishWork",
    "Ice",
    "Ingredient",
    "Kind",
    "Menu",
    "Method",
    "Mix",
    "Place",
    "Pour",
    "Pouring",
    "Recipe",
    "SpiritAndMixer",
    "Stage",
    "Strain",
    "Swap",
    "ice_kg",
    "recipe_mix",
    "spirit_mixer_mix",
]
