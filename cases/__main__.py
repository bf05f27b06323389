"""`python -m cases` does what `colletfea` does."""

import sys

from cases.cli import main

sys.exit(main())
