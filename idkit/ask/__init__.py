"""Answers to likelihoods: what a person finds out at a bench, and what each metal would have given."""

from idkit.ask.amounts import both_weights, parse_length, parse_mass
from idkit.ask.answers import checks, read
from idkit.ask.scale_check import ScaleCheck, check_scale
from idkit.ask.splitting import cannot_split
from idkit.ask.water import HEAVIEST, density_by_displacement, density_by_hanging, least_mass, water_density

__all__ = [
    "HEAVIEST",
    "ScaleCheck",
    "both_weights",
    "cannot_split",
    "check_scale",
    "checks",
    "density_by_displacement",
    "density_by_hanging",
    "least_mass",
    "parse_length",
    "parse_mass",
    "read",
    "water_density",
]
