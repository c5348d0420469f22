"""One thread a process for linear algebra: several test processes share two cores, and ties stay ties."""

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")
