"""How numbers are told: as people write them."""

from __future__ import annotations

import math


def spoken(number: float) -> str:
    """Return a number as people write it: commas between thousands, no exponent, no trailing or negative nought.

    >>> spoken(5e6), spoken(0.0001), spoken(-0.0), spoken(2.50)
    ('5,000,000', '0.0001', '0', '2.5')
    """
    if not math.isfinite(number):
        return str(number)
    text = f"{number:,}" if isinstance(number, int) else f"{number:,.9f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def newtons(force: float) -> str:
    """Return a push as people tell it, in newtons: no finer than a hand feels, and none told as nought.

    >>> newtons(43.6), newtons(4.26), newtons(0.5)
    ('44 N', '4.3 N', 'under 1 N')
    """
    if force < 0.95:
        return "under 1 N"
    return f"{force:.1f} N" if force < 9.95 else f"{force:,.0f} N"


def percent(share: float, digits: int = 0) -> str:
    r"""Return a share as a percentage, with the space before the sign, at which no line breaks.

    >>> percent(0.98), percent(0.99987, 2)
    ('98\xa0%', '99.99\xa0%')
    """
    return f"{share * 100.0 + 0.0:.{digits}f}\N{NO-BREAK SPACE}%"
