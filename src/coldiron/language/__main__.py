"""`python -m coldiron.language PATH`: check rule files."""

from __future__ import annotations

import sys
from pathlib import Path

from coldiron.audit.report import report

if __name__ == "__main__":
    sys.stdout.write(report(Path(sys.argv[1]) if len(sys.argv) > 1 else None) + "\n")
