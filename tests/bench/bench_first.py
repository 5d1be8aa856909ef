"""What the book thinks first on a machine nobody has touched, beside published trouble tables.

    python tests/bench/bench_first.py

For each complaint of the table in `support/first_thoughts.py`: the groups of causes that lead over all circuits of the
book with their mean share, those that the table names, whether they agree, and on how many of the circuits a check
that the table begins with is among the first three. It asserts nothing; `tests/outside/test_trouble_tables.py` does.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from support.first_thoughts import TABLE, overall


def main() -> None:
    """Print the table."""
    for row in TABLE:
        leading = ", ".join(f"{name} {share:.2f}" for name, share in list(overall(row.complaint).items())[:3])
        print(f"{row.complaint}: {leading}")  # noqa: T201
        said = "agrees" if row.agrees else "differs"
        print(f"    table: {', '.join(row.causes)} ({said}); its checks first on {row.asked:.0%} of circuits")  # noqa: T201
        print(f"    {row.source}{'; ' + row.differs if row.differs else ''}")  # noqa: T201


if __name__ == "__main__":
    main()
