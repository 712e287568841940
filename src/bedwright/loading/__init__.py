"""Loading: what rides on which vehicle, in which order, and where collections find room away from new goods.

Integers in millimetres and grams. x runs from the bulkhead to the doors, y from the left wall (looking to the
doors' end from the bulkhead), z up.
"""
