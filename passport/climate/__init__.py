"""The seasons: wood moisture, the crosswise movement it makes, and what to expect of it.

Pure: numbers in, numbers out. The room's air makes an equilibrium moisture (``moisture``); the
board follows it as a slab open below and sealed above (``slab``); the uneven part of its moisture
bends it crosswise (``wood``, ``bending``). ``room`` states what is taken for granted of a room
without records, ``air`` joins that with readings of the air, ``movement`` with what is known of
the wood, ``learning`` with what was found at visits. ``outlook`` says what to expect, what to set
and when to come again; ``local_level`` is the plain alternative, for comparison.
"""
