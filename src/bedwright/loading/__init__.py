"""Loading: what rides on which vehicle, in which order, and where collections find room away from new goods.

Integers in millimetres and grams. x runs from the bulkhead to the doors, y from the wall on the driver's
right (facing forward), z up.
"""
