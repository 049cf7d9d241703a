"""RFC 4226 (2005), HOTP: appendix D, the first ten values for the secret of its examples."""

from base64 import b32encode

from passport.desk.factors import code_at

SECRET = b32encode(b"12345678901234567890").decode()
APPENDIX_D = [
    *("755224", "287082", "359152", "969429", "338314"),
    *("254676", "287922", "162583", "399871", "520489"),
]


def test_the_first_ten_codes_are_the_appendixs():
    assert [code_at(SECRET, count) for count in range(10)] == APPENDIX_D
