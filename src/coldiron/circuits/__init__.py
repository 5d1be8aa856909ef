"""Circuits: sections joined to a machine, it solved at DC, and what every check would read under any faults."""

from coldiron.circuits.machine import Machine, compose
from coldiron.circuits.predictor import Predictor

__all__ = ["Machine", "Predictor", "compose"]
