"""What is said of the machine: what it has and has not, and so which circuit it is."""

from __future__ import annotations

from coldiron.book.variants import circuit_named
from coldiron.job.state import State, Taken
from coldiron.machine.describing import is_taken, named
from coldiron.machine.fitting import VOLTS
from coldiron.readings.interpret import understand
from coldiron.readings.refusal import AnswerError


def say(state: State, name: str, value: str) -> None:
    """What is said of the machine. A circuit that does not fit it any more is asked for again."""
    state.said.pop(name, None)  # what is said anew comes after what was said since
    state.said[name] = value
    state.of_card -= {name}
    settle(state)


def settle(state: State) -> None:
    """Find the circuit by all that is said."""
    state.volts = int(state.said.get(VOLTS, 0))
    state.circuit = named(state.book, state.said)
    known = circuit_named(state.book, state.circuit)
    if known:
        state.volts = known.volts
    state.taken = bool(state.circuit) and is_taken(state.book, state.said)
    _use_held(state)


def _use_held(state: State) -> None:
    """Judge what was read before the machine was known by its own volts; what fits no band is asked for anew."""
    for name, text in state.held.items() if state.circuit else ():
        try:
            understood = understand(state.book.checks[name], text, state.volts, state.batteries)
        except AnswerError:
            continue
        state.epochs[0].taken[name] = Taken(text, understood, asked=False)
