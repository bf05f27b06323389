"""`python -m colletfea` does what `colletfea` does."""

import sys

from colletfea.cases.cli import main

sys.exit(main())
