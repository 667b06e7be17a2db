"""`python -m rounds` is `rounds`."""

import sys

from rounds.cli import main

sys.exit(main())
