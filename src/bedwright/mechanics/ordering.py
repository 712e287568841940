"""Orders in which the factor of a sparse symmetric matrix stays sparse."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_matrix, diags, spmatrix
from scipy.sparse.linalg import splu

Indices = NDArray[np.int32]


class Ordered(NamedTuple):
    """place (size,): where each unknown goes. starts, rows: the factor's columns below its diagonal in that order."""

    place: Indices
    starts: Indices
    rows: Indices


def ordered(graph: spmatrix) -> Ordered:
    """Order for a symmetric matrix (size, size) of which only the pattern matters: of minimum degree."""
    off = csc_matrix(graph)
    size = off.shape[0]
    off = csc_matrix((np.full(len(off.data), -1.0), off.indices, off.indptr), shape=off.shape)
    matrix = csc_matrix(off + diags(np.diff(off.indptr) + 2.0))
    found = splu(matrix, permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True}, diag_pivot_thresh=0.0)
    lower = csc_matrix(found.L)
    lower.sort_indices()
    below = np.ones(len(lower.indices), dtype=bool)
    below[lower.indptr[:-1]] = False  # in a sorted column the diagonal comes first
    starts = (lower.indptr - np.arange(size + 1)).astype(np.int32)
    return Ordered(np.asarray(found.perm_c, dtype=np.int32), starts, lower.indices[below].astype(np.int32))
