"""Odds over sets of faults: priors, what each answer makes of them, answers that do not fit."""
