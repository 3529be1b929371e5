"""Linear algebra on one thread, unless the user says otherwise: our matrices are small, and more threads only wait.

Measured: the search for a four's courses takes 0.8 s of processor time on one thread, 2.0 s on two. It has to be said
before the numeric library is loaded, so the package imports this module first.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
