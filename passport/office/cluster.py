"""Machines that read together: any ``concurrent.futures`` executor will do; this is dask's."""

from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from typing import Any

from passport.errors import PassportError

PATIENCE_S = 10  # for a scheduler to answer
AGAIN = 3  # times that a photo is read anew when the machine that read it is gone


class ClusterUnreachable(PassportError):
    """No scheduler answers at the address, or the package that speaks to it is missing."""

    exit_code = 5

    def __init__(self, address: str, found: str):
        self.address, self.found = address, found
        super().__init__(
            f"No cluster answers at {address} ({found}). Start its scheduler, check the address, "
            "or leave --cluster out: then this machine reads."
        )


@contextmanager
def joined(address: str | None) -> Iterator[Executor | None]:
    """Join a dask cluster; without an address this machine reads, which is None.

    Raises
    ------
    ClusterUnreachable
    """
    if address is None:
        yield None
        return
    try:
        from distributed import Client  # noqa: PLC0415 - not everyone has it, and it loads slowly

        make: Any = Client
        client = make(address, timeout=PATIENCE_S, set_as_default=False)
    except ModuleNotFoundError as error:
        raise ClusterUnreachable(address, "the package distributed is not installed") from error
    except (OSError, ValueError) as error:
        raise ClusterUnreachable(address, type(error).__name__) from error
    try:
        # A pure function is done once for equal arguments; reading again after a loss is wanted.
        yield client.get_executor(pure=False, retries=AGAIN)
    finally:
        client.close()
