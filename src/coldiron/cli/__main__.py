"""`python -m coldiron.cli` is the command `coldiron`."""

from coldiron.cli import main

raise SystemExit(main())
