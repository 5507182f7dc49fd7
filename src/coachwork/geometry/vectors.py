"""Vectors in space, many at a time: the few words the other modules of this package are written in.

Every function takes arrays (..., 3) that broadcast against each other, in any one length unit.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array: TypeAlias = NDArray[np.float64]


def frozen(values: ArrayLike) -> Array:
    """The same numbers as floats in an array that nobody can write to, so that a frozen dataclass really is one."""
    array = np.array(values, dtype=np.float64)
    array.flags.writeable = False
    return array


def dot(first: Array, second: Array) -> Array:
    """Scalar products: (...)."""
    if second.ndim == 1:  # one direction for all: a matrix product, three times as fast
        return np.asarray(first @ second)
    return np.asarray(np.einsum("...i,...i->...", first, second))


def cross(first: Array, second: Array) -> Array:
    """Vector products: (..., 3). Written out because `numpy.cross` is slower and moves axes about, and put in place
    because stacking takes longer than the arithmetic.
    """
    ax, ay, az = first[..., 0], first[..., 1], first[..., 2]
    bx, by, bz = second[..., 0], second[..., 1], second[..., 2]
    product = np.empty(first.shape if first.shape == second.shape else np.broadcast_shapes(first.shape, second.shape))
    product[..., 0] = ay * bz - az * by
    product[..., 1] = az * bx - ax * bz
    product[..., 2] = ax * by - ay * bx
    return product


def length(vectors: Array) -> Array:
    """Euclidean lengths: (...)."""
    return np.sqrt(dot(vectors, vectors))


def unit(vectors: Array) -> Array:
    """Directions, of length one: (..., 3). NaN for a vector of length zero."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(vectors / length(vectors)[..., None])


def angle_between(first: Array, second: Array) -> Array:
    """Angle from one direction to another, 0 to pi: (...). Neither needs to be of length one.

    By the arctangent, not the arccosine, which loses half its digits where the directions nearly agree.

    >>> angle_between(np.array([1.0, 0.0, 0.0]), np.array([0.0, 2.0, 0.0])).round(9)
    np.float64(1.570796327)
    """
    return np.asarray(np.arctan2(length(cross(first, second)), dot(first, second)))
