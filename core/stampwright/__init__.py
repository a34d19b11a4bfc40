"""Stampwright: line art in, a working hand stamp out.

The whole job in three lines::

    artwork = stampwright.read_artwork("mark.svg")
    stamp = stampwright.make_stamp(stampwright.Job(), artwork)
    print(stamp.die.volume, stamp.findings)
"""
