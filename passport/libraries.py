"""System libraries that the Python packages load, and the Debian packages that bring them.

Only the standard library is used: ``passport/install`` runs this file before anything else is
there, and ``table-passport doctor`` shows the same list.
"""

import ctypes
import importlib.util
import os
import shutil
import sys

LIBRARIES = {
    "libpango-1.0.so.0": "libpango-1.0-0",  # printing
    "libpangoft2-1.0.so.0": "libpangoft2-1.0-0",  # printing
    "libharfbuzz-subset.so.0": "libharfbuzz-subset0",  # small fonts in PDFs
    "libzbar.so.0": "libzbar0",  # first QR reader
    "libGL.so.1": "libgl1",  # opencv-python
    "libgthread-2.0.so.0": "libglib2.0-0",  # opencv-python
    "libxcb.so.1": "libxcb1",  # opencv-python
}
PROGRAMS = {  # what an extra of the project needs beside its Python packages
    "dev": {
        "chromium": "chromium",  # the tests look at every page in a real browser
        "pg_ctlcluster": "postgresql",  # and try the store on a server as well
        "nginx": "nginx-light",  # and serve the customers' pages, each with its own settings
        "apache2": "apache2-bin",
        "caddy": "caddy",
    },
}
PLACES = os.pathsep.join([os.environ.get("PATH", os.defpath), "/usr/sbin"])  # servers lie there


def missing_packages(extra: str = "") -> list[str]:
    """Name the Debian packages that this machine lacks, in the order of the lists above.

    ``extra`` is an extra of the project, such as ``dev``.
    """
    missing = [package for library, package in LIBRARIES.items() if not _loads(library)]
    wanted = PROGRAMS.get(extra, {}).items()
    missing += [package for program, package in wanted if not shutil.which(program, path=PLACES)]
    return missing if importlib.util.find_spec("ensurepip") else [*missing, "python3-venv"]


def _loads(library: str) -> bool:
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


if __name__ == "__main__":
    print(" ".join(missing_packages(*sys.argv[1:2])))  # noqa: T201 - read by passport/install
