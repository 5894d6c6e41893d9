"""The tests; importing them keeps OpenBLAS to one thread.

The matrices here are small. On a machine whose cores are busy, OpenBLAS's threads wait for one
another far longer than they compute: the same solve took 40 times as long.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
