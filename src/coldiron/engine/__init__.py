"""A small forward-chaining engine over ground facts. It knows nothing of machines and can be used by itself.

Facts are tuples of words; readings are numbers with names. Rules say which facts, missing facts and comparisons of
readings bring about which facts:

>>> from coldiron.engine import Compare, FactRule, Has, Lacks, changes, compile_rules, extend, run, why, why_not
>>> from coldiron.engine.sentences import say_changes, say_obstacle, say_proof
>>> rules = compile_rules(
...     [
...         FactRule(
...             "feed_lost", (Compare("feed", "below", "rest", 2.0), Has(("isolator", "on"))), (("feed", "lost"),)
...         ),
...         FactRule("look_at_link", (Has(("feed", "lost")), Lacks(("link", "seen"))), (("look", "link"),)),
...     ]
... )
>>> result = run(rules, [("isolator", "on")], {"rest": 12.6})
>>> result.holds(("feed", "lost"))
False

While a reading is missing, a comparison is unknown: neither it nor its opposite holds.

>>> [say_obstacle(obstacle) for obstacle in why_not(result, ("feed", "lost"))]
['feed_lost does not apply: it is not known whether feed is below rest by more than 2.']

`extend` goes on from a result and gives what a fresh `run` with everything would give. Results never change.

>>> later = extend(result, values={"feed": 0.4})
>>> sorted(later.facts - later.given)
[('feed', 'lost'), ('look', 'link')]
>>> for line in say_proof(why(later, ("look", "link"))):
...     print(line)
isolator on: given.
feed lost: by feed_lost, from isolator on and feed is below rest by more than 2.
look link: by look_at_link, from feed lost and no link seen.

`withdraw` does the same with fewer, and a reading that comes again is changed. Ask what changed:

>>> corrected = extend(later, values={"feed": 12.3})
>>> for line in say_changes(changes(later, corrected)):
...     print(line)
feed lost: no longer, for feed_lost does not apply: it is not so that feed is below rest by more than 2.
look link: no longer, for look_at_link does not apply: feed lost does not hold.

Rules in which a fact depends on its own absence have no one meaning. They are told, not raised:

>>> odd, even = FactRule("odd", (Lacks(("a",)),), (("b",),)), FactRule("even", (Has(("b",)),), (("a",),))
>>> print(compile_rules([odd, even]))
A fact must not depend on its own absence: rule odd gives 'b' from the absence of 'a'; rule even gives 'a' from 'b'.

The order of rules, facts and readings never changes a result or an explanation. Listeners (`Trace`, `LoopGuard`)
watch a run from outside. Everything here is ground: whoever has rules with variables writes one rule per case.
"""

from coldiron.engine.explain import Changes, Loss, Obstacle, Proof, ProofStep, changes, obstacle_of, why, why_not
from coldiron.engine.facts import Compare, Condition, Fact, FactRule, Has, Lacks, Relation
from coldiron.engine.listeners import Firing, Listener, LoopGuard, TooManyFiringsError, Trace
from coldiron.engine.loop import Result, Support, extend, run, withdraw
from coldiron.engine.ruleset import RuleSet, compile_rules
from coldiron.engine.strata import Cycle, CycleLink

__all__ = [
    "Changes",
    "Compare",
    "Condition",
    "Cycle",
    "CycleLink",
    "Fact",
    "FactRule",
    "Firing",
    "Has",
    "Lacks",
    "Listener",
    "LoopGuard",
    "Loss",
    "Obstacle",
    "Proof",
    "ProofStep",
    "Relation",
    "Result",
    "RuleSet",
    "Support",
    "TooManyFiringsError",
    "Trace",
    "changes",
    "compile_rules",
    "extend",
    "obstacle_of",
    "run",
    "why",
    "why_not",
    "withdraw",
]
