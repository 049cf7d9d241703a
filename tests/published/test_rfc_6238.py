"""RFC 6238 (2011), TOTP: appendix B, table 1, the rows for SHA-1.

The table has eight digits; a phone shows the last six of them (RFC 4226, 5.3: the same number,
modulo another power of ten). Its secret is the ASCII string "12345678901234567890".
"""

from base64 import b32encode
from datetime import UTC, datetime

import pytest

from passport.desk.factors import code_at, step_of

SECRET = b32encode(b"12345678901234567890").decode()
TABLE_1 = [  # time [s], value of T, TOTP
    (59, 0x1, "94287082"),
    (1111111109, 0x23523EC, "07081804"),
    (1111111111, 0x23523ED, "14050471"),
    (1234567890, 0x273EF07, "89005924"),
    (2000000000, 0x3F940AA, "69279037"),
    (20000000000, 0x27BC86AA, "65353130"),
]


@pytest.mark.parametrize(("time", "step", "totp"), TABLE_1)
def test_the_code_of_each_time_is_the_tables(time: int, step: int, totp: str):
    at = datetime.fromtimestamp(time, UTC)

    assert (code_at(SECRET, step), step_of(SECRET, totp[-6:], at)) == (totp[-6:], step)
