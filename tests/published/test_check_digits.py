"""Check digits against published ones: ISO/IEC 7064 MOD 97-10.

ISO 13616-1 (IBAN) uses it with letters written as two digits and the digits moved to the end. The
examples are those of the IBAN registry as published by SWIFT, from memory. The library
python-stdnum (LGPL) computes the same system; it is used by these tests only.
"""

import random

import pytest
from stdnum.iso7064 import mod_97_10

from stepstop.trail import check_digits

IBANS = ["DE89370400440532013000", "BE68539007547034", "AT611904300234573201"]


@pytest.mark.parametrize("iban", IBANS)
def test_the_examples_of_the_iban_registry(iban):
    digits = "".join(str(int(each, 36)) for each in iban[4:] + iban[:2])
    assert check_digits(digits) == iban[2:4]


def test_a_library_of_standard_numbers_computes_the_same():
    draw = random.Random(1)
    for _ in range(2000):
        digits = str(draw.randrange(10 ** draw.randrange(1, 30)))
        assert mod_97_10.is_valid(digits + check_digits(digits))
        assert int(mod_97_10.calc_check_digits(digits)) % 97 == int(check_digits(digits)) % 97
