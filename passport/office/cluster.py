"""Machines that read together: any ``concurrent.futures`` executor will do; this is dask's."""

from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from ipaddress import ip_address
from typing import Any
from urllib.parse import urlsplit

from passport.errors import PassportError

PATIENCE_S = 10  # for a scheduler to answer
SHUT = ("tls", "wss", "inproc")  # ways to speak to a scheduler that strangers can't
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


class ClusterOpen(PassportError):
    """A cluster on other machines that nothing keeps strangers out of."""

    exit_code = 2

    def __init__(self, address: str):
        self.address = address
        super().__init__(
            f"{address} leads to another machine, unencrypted: whoever reaches it can have the "
            "workers run any program. Give a tls:// address, with its certificates in dask's own "
            "settings, or say --closed-network where nobody else is on the way."
        )


def is_open(address: str) -> bool:
    """Say whether strangers on the network could speak to a cluster at this address."""
    kind, _, rest = address.rpartition("://")
    host = urlsplit(f"//{rest}").hostname or ""
    return kind not in SHUT and host != "localhost" and not _is_loopback(host)


def _is_loopback(host: str) -> bool:
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False


@contextmanager
def joined(address: str | None, *, closed_network: bool = False) -> Iterator[Executor | None]:
    """Join a dask cluster; without an address this machine reads, which is None.

    Raises
    ------
    ClusterUnreachable
    ClusterOpen
        It is on other machines, without TLS, and nobody said that the network is closed.
    """
    if address is None:
        yield None
        return
    if not closed_network and is_open(address):
        raise ClusterOpen(address)
    try:
        from distributed import Client  # noqa: PLC0415 - not everyone has it, and it loads slowly

        make: Any = Client
        client = make(address, timeout=PATIENCE_S, set_as_default=False)
    except ModuleNotFoundError as error:
        raise ClusterUnreachable(address, "the package distributed is not installed") from error
    except (OSError, ValueError, MemoryError) as error:  # the last: it speaks something else
        raise ClusterUnreachable(address, type(error).__name__) from error
    try:
        # A pure function is done once for equal arguments; reading again after a loss is wanted.
        yield client.get_executor(pure=False, retries=AGAIN)
    finally:
        client.close()
