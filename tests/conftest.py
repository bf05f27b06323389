"""Settings of the whole test run, made before numpy is imported."""

import os

# As the command line does: matrices are small, and a second BLAS thread waits more than it works.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
