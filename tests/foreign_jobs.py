"""Foreign machines and jobs on them: `python tests/foreign_jobs.py machine NAME` prints what a machine does."""

from __future__ import annotations

import argparse
import sys

from foreign.tables import machine_table


def main(arguments: list[str]) -> int:
    """The table that was asked for."""
    parser = argparse.ArgumentParser(prog="foreign_jobs.py")
    commands = parser.add_subparsers(dest="command", required=True)
    commands.add_parser("machine", help="what a machine does, sound and with each fault").add_argument("name")
    asked = parser.parse_args(arguments)
    sys.stdout.writelines(f"{line}\n" for line in machine_table(asked.name))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
