"""Answers to likelihoods: what a person finds out at a bench, and what each metal would have given."""

from idkit.ask.amounts import parse_length, parse_mass
from idkit.ask.answers import checks, read
from idkit.ask.splitting import cannot_split
from idkit.ask.water import density_by_displacement, density_by_hanging, water_density

__all__ = [
    "cannot_split",
    "checks",
    "density_by_displacement",
    "density_by_hanging",
    "parse_length",
    "parse_mass",
    "read",
    "water_density",
]
