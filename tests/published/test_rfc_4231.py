"""RFC 4231 (December 2005), test cases for HMAC-SHA-256.

The value was recalled, not read at the source; a recomputation agrees with it.
"""

from passport.records.canonical import seal


def test_a_private_text_is_sealed_as_in_test_case_2():
    """RFC 4231, 4.3: key "Jefe", data "what do ya want for nothing?"."""
    assert seal("what do ya want for nothing?", b"Jefe").hash == (
        "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"
    )
