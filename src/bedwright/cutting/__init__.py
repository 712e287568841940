"""Cutting: lays at the quilter, slits of anything long, sheets of foam and pad.

Three kinds of cut, each a room of its own with problem, simple, plan and audit, because a lay has shade lots, a slit
has joins and a sheet has two directions, and none of them should carry the others' words. What they share stands here:
bounds.py (what no plan can beat), plan.py (how good, how sure), solve.py (one door), rows.py (plain rows for paper).
All lengths are integers in tenths of a millimetre.
"""
