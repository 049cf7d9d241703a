"""The trade: tables, visits, leveling, history, printed documents, care page, command line."""

import os

# Every matrix here is small. Threads for them only wait for each other: a table's page took ten
# times as long while something else had the machine busy. It must be said before numpy is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
