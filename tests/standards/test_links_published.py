"""Keys and secrets that are printed in the standards on which links stand."""

from course_lib.links.keys import hkdf, stretched
from course_lib.links.session import first_epoch, public_epoch


def test_hkdf_gives_the_key_of_rfc_5869():
    """RFC 5869, appendix A.1."""
    secret, salt = b"\x0b" * 22, bytes(range(0x0D))
    info = bytes.fromhex("f0f1f2f3f4f5f6f7f8f9")
    assert hkdf(secret, salt, info, 42).hex() == (
        "3cb25f25faacd57a90434f64d0362f2a2d2d0a90cf1a5a4c5db02d56ecc4c5bf34007208d5b887185865"
    )


def test_scrypt_gives_the_secret_of_rfc_7914():
    """RFC 7914, section 12, the third."""
    secret = stretched(b"pleaseletmein", b"SodiumChloride", cost=16384, octets=64)
    assert secret.hex() == (
        "7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2"
        "d5432955613f0fcf62d49705242a9af9e61e85dc0d651e40dfcf017b45575887"
    )


def test_epochs_are_the_keys_of_rfc_7748():
    """RFC 7748, section 6.1: the private key of the first party, and its public key."""
    drawn = bytes.fromhex("77076d0a7318a57d3c16c17251b26645df4c2f87ebc0992ab177fba51db92c2a")
    assert public_epoch(first_epoch(drawn)).hex() == (
        "8520f0098930a754748b7ddcb43ef75a0dbf3a0d26381af4eba4a98eaa9b4e6a"
    )
